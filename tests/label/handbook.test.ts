import { expect, test } from 'vitest'
import { code128Check, code128Values } from '../../lib/label/code-128.ts'
import { gs1CheckDigit, gs1CheckHolds, upceExpand } from '../../lib/label/gs1-check.ts'
import { needReference, readHandbook } from '../support/reference.ts'

// Values of the GS1 General Specifications and of ISO/IEC 15417, each with its source in the handbook.

const ASKED: Record<string, (inputs: Record<string, unknown>) => unknown> = {
  'GS1 check digit': (inputs) => gs1CheckDigit(String(inputs.payload)),
  'wrong check digit is refused': (inputs) => gs1CheckHolds(String(inputs.code)),
  'UPC-E expands to UPC-A': (inputs) => upceExpand(String(inputs.upce)),
  'Code 128 check symbol value': (inputs) => code128Check(inputs.symbol_values as number[]),
}

test('check digits, check symbols and the long form of a short code are those of the standards', (context) => {
  const cases = readHandbook(needReference(context, 'handbook.json')).filter(({ quantity }) => quantity in ASKED)
  expect(cases.length).toBeGreaterThanOrEqual(13)
  for (const { id, quantity, inputs, expected } of cases) expect(ASKED[quantity]!(inputs), id).toEqual(expected)
})

test('a text is written in the symbols that the standard gives for it', (context) => {
  const cases = readHandbook(needReference(context, 'handbook.json'))
  const inB = cases.find(({ id }) => id === 'code128-pjj123c-B')!
  const values = inB.inputs.symbol_values as number[]
  expect(code128Values('PJJ123C')).toEqual([...values, inB.expected, 106])
})
