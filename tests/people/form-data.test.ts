import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { formObject, formRead, formValues } from '../../app/_server/form-data.ts'
import { CountInput, ReceiveInput, ScrapInput } from '../../lib/stock/schema.ts'

function form(...fields: [string, string | File][]): FormData {
  const data = new FormData()
  for (const [name, value] of fields) data.append(name, value)
  return data
}

describe('a form as an object', () => {
  test('has one value for a field, and a list for a field that comes several times', () => {
    expect(formObject(form(['name', 'Ida'], ['roles', 'buyer'], ['roles', 'mechanic']))).toEqual({
      name: 'Ida',
      roles: ['buyer', 'mechanic'],
    })
  })
  test('has a list for a name with brackets, however many there are', () => {
    expect(formObject(form(['lines[]', '7'], ['bins[]', '1'], ['bins[]', '2']))).toEqual({
      lines: ['7'],
      bins: ['1', '2'],
    })
  })
  test('leaves out the key and what carries the action', () => {
    expect(formObject(form(['key', 'k'], ['$ACTION_ID_ab', ''], ['$ACTION_REF_1', ''], ['name', 'Ida']))).toEqual({
      name: 'Ida',
    })
  })
  test('does not let a field name reach the object behind all objects', () => {
    const object = formObject(form(['__proto__', 'x'], ['name', 'Ida']))
    expect(Object.getPrototypeOf(object)).toBe(Object.prototype)
    expect(object.name).toBe('Ida')
  })
})

test('what was typed comes back without PINs, passwords, tokens and files', () => {
  const sent = form(
    ['name', 'Ida'],
    ['secret', '7391'],
    ['secretAgain', '7391'],
    ['token', 'abc'],
    ['page', new File(['x'], 'page.png')],
    ['roles', 'buyer'],
    ['roles', 'mechanic'],
  )
  expect(formValues(formObject(sent))).toEqual({ name: 'Ida', roles: ['buyer', 'mechanic'] })
})

describe('an empty field', () => {
  test('of a count is not a count of zero', () => {
    const empty = formObject(
      form(['partId', '3'], ['binId', '4'], ['counted', ''], ['expected', '9'], ['reason', 'gone']),
    )
    const read = formRead(CountInput, empty)
    expect(read.success ? [] : read.issues.map((issue) => [issue.path[0], issue.message])).toEqual([
      ['counted', 'enter a number'],
    ])
  })
  test('of an optional cost is no cost, not a cost of zero', () => {
    const read = formRead(
      ReceiveInput,
      formObject(form(['partId', '3'], ['binId', '4'], ['quantity', '5'], ['costMinor', ''])),
    )
    expect(read).toEqual({ success: true, data: { partId: 3, binId: 4, quantity: 5 } })
  })
  test('is empty text where the schema takes empty text', () => {
    const counted = formObject(
      form(['partId', '3'], ['binId', '4'], ['counted', '9'], ['expected', '9'], ['reason', '']),
    )
    expect(formRead(CountInput, counted)).toMatchObject({ success: true, data: { counted: 9, reason: '' } })
  })
  test('is refused in the words of the schema where text is needed', () => {
    const read = formRead(
      ScrapInput,
      formObject(form(['partId', '3'], ['binId', '4'], ['quantity', '5'], ['reason', ''])),
    )
    expect(read.success ? [] : read.issues.map((issue) => issue.message)).toEqual(['say why it is scrapped'])
  })
  test('keeps the sentence for a missing field where there is one', () => {
    const Named = z.object({ name: z.string({ error: 'enter a name' }).min(3, 'too short') })
    const read = formRead(Named, { name: '' })
    expect(read.success ? [] : read.issues.map((issue) => issue.message)).toEqual(['enter a name'])
  })
  test('for a file is no file', () => {
    const read = formRead(
      z.object({ page: z.instanceof(File).optional() }),
      formObject(form(['page', new File([], '')])),
    )
    expect(read).toEqual({ success: true, data: {} })
  })
})
