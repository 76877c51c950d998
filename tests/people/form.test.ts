import { JSDOM } from 'jsdom'
import { createElement, type ReactElement } from 'react'
import { renderToString } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import type { ServerAction } from '../../app/_server/action.ts'
import type { ActionRefused } from '../../app/_server/answer.ts'
import { Field, SelectField, TextField, TickGroup } from '../../app/_server/field.tsx'
import { ActionForm } from '../../app/_server/form.tsx'
import { FormAnswer } from '../../app/_server/form-answer.tsx'
import { FormStateContext } from '../../app/_server/form-state.tsx'
import { PersonForm } from '../../app/people/person-form.tsx'

/** The page as the server sends it, before any script has run. */
function page(element: ReactElement): Document {
  return new JSDOM(renderToString(element)).window.document
}

const never = (async () => null) as unknown as ServerAction<unknown>

const refused = (more: Partial<ActionRefused>): ActionRefused => ({
  ok: false,
  code: 'input/invalid',
  happened: 'Some of what was entered cannot be used.',
  next: 'Correct the marked fields.',
  fields: {},
  faults: [],
  values: {},
  ...more,
})

const within = (state: ActionRefused, ...fields: ReactElement[]) =>
  page(createElement(FormStateContext, { value: { refused: state, isPending: false } }, ...fields))

/** The text that is read out after the control's name. */
const described = (document: Document, control: Element | null) =>
  (control?.getAttribute('aria-describedby') ?? '')
    .split(' ')
    .map((id) => document.getElementById(id)?.textContent)
    .join(' / ')

describe('a field', () => {
  test('is named by its label and described by its hint and its fault', () => {
    const document = within(
      refused({ fields: { quantity: 'enter a number' } }),
      createElement(Field, { name: 'quantity', label: 'Quantity', hint: 'pieces', key: 1 }),
    )
    const input = document.querySelector('input')
    expect(document.querySelector('label')?.getAttribute('for')).toBe(input?.id)
    expect(input?.getAttribute('aria-invalid')).toBe('true')
    expect(described(document, input)).toBe('pieces / enter a number')
  })

  test('without a fault is not marked', () => {
    const input = within(refused({}), createElement(Field, { name: 'bin', label: 'Bin', key: 1 })).querySelector(
      'input',
    )
    expect(input?.hasAttribute('aria-invalid')).toBe(false)
    expect(input?.hasAttribute('aria-describedby')).toBe(false)
  })

  test('keeps what was typed, and takes the given value when nothing was', () => {
    const document = within(
      refused({ values: { bin: 'B-4', store: 'van', roles: ['buyer'] } }),
      createElement(Field, { name: 'bin', label: 'Bin', defaultValue: 'A-1', key: 1 }),
      createElement(TextField, { name: 'reason', label: 'Reason', defaultValue: 'worn', key: 2 }),
      createElement(
        SelectField,
        { name: 'store', label: 'Store', key: 3 },
        createElement('option', { value: 'barn' }, 'Barn'),
        createElement('option', { value: 'van' }, 'Van'),
      ),
      createElement(TickGroup, {
        name: 'roles',
        legend: 'Roles',
        ticked: ['mechanic'],
        options: ['mechanic', 'buyer'].map((value) => ({ value, label: value })),
        key: 4,
      }),
    )
    expect(document.querySelector<HTMLInputElement>('[name=bin]')?.value).toBe('B-4')
    expect(document.querySelector('textarea')?.value).toBe('worn')
    expect(document.querySelector('select')?.value).toBe('van')
    expect([...document.querySelectorAll<HTMLInputElement>('[name=roles]')].map((box) => box.checked)).toEqual([
      false,
      true,
    ])
  })

  test('for a PIN never comes back filled in', () => {
    const document = within(
      refused({ values: { secret: '7391' } }),
      createElement(Field, { name: 'secret', label: 'PIN', type: 'password', key: 1 }),
    )
    expect(document.querySelector('input')?.value).toBe('')
  })
})

describe('an answer', () => {
  test('that refuses is an alert with what happened and what to do next', () => {
    const alert = page(createElement(FormAnswer, { state: refused({ faults: ['row 2, number: unknown'] }) }))
    expect(alert.querySelector('[role=alert]')?.textContent).toBe(
      'Some of what was entered cannot be used.Correct the marked fields.row 2, number: unknown',
    )
  })
  test('for somebody whose session has ended keeps the form open beside the sign-in screen', () => {
    const link = page(createElement(FormAnswer, { state: refused({ code: 'people/not-signed-in' }) })).querySelector(
      'a',
    )
    expect([link?.getAttribute('href'), link?.getAttribute('target')]).toEqual(['/sign-in', '_blank'])
  })
  test('that it is done is a status', () => {
    const state = { ok: true as const, answer: 7, says: 'Taken.', key: 'k' }
    expect(page(createElement(FormAnswer, { state })).querySelector('[role=status]')?.textContent).toBe('Taken.')
  })
})

test('a form carries its key and hidden fields before any script has run', () => {
  const document = page(
    createElement(ActionForm<unknown>, {
      action: never,
      formKey: 'key-of-this-form',
      submit: 'Take',
      hidden: { partId: 9 },
    }),
  )
  const sent = new Map([...document.querySelectorAll('input')].map((input) => [input.name, input.value]))
  expect(sent.get('key')).toBe('key-of-this-form')
  expect(sent.get('partId')).toBe('9')
  expect(document.querySelector('button[type=submit]')?.textContent).toBe('Take')
})

describe('the sign-in form', () => {
  const signIn = (more: object) =>
    page(
      createElement(PersonForm<unknown>, {
        kind: 'sign-in',
        action: never,
        formKey: 'key-1',
        submit: 'Sign in',
        ...more,
      }),
    )

  test('asks a chosen person for the PIN only, on a number pad', () => {
    const document = signIn({ name: 'Ida Marsh', next: '/jobs/7' })
    const shown = [...document.querySelectorAll<HTMLInputElement>('input:not([type=hidden])')]
    expect(shown.map((input) => [input.name, input.inputMode || input.getAttribute('inputmode'), input.type])).toEqual([
      ['secret', 'numeric', 'password'],
    ])
    expect(document.querySelector<HTMLInputElement>('[name=name]')?.value).toBe('Ida Marsh')
    expect(document.querySelector<HTMLInputElement>('[name=next]')?.value).toBe('/jobs/7')
  })

  test('asks for the name too when nobody was chosen', () => {
    const names = [...signIn({ keyboard: 'text' }).querySelectorAll('label')].map((label) => label.textContent)
    expect(names).toEqual(['Name', 'PIN or password'])
  })
})
