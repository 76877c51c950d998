import { describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { type ActionHands, type ActionPlan, actionAnswer } from '../../app/_server/action-answer.ts'
import { inputRefusal } from '../../app/_server/answer.ts'
import { problem, problemOfFault } from '../../app/_server/problem.ts'
import type { SignedIn } from '../../lib/db/session.ts'
import { Refusal } from '../../lib/refusal.ts'

const NOW = new Date('2026-11-02T08:15:00Z')
const ida: SignedIn = { personId: 'person-ida', name: 'Ida Marsh', roles: ['mechanic'] }
const Input = z.object({
  bin: z.string().min(2, 'name the bin'),
  quantity: z.coerce.number({ error: 'enter a number' }).int(),
})

function hands(who: SignedIn | null): ActionHands & { faults: unknown[][] } {
  const faults: unknown[][] = []
  return {
    faults,
    person: async () => who,
    now: () => NOW,
    fault: (...fault) => {
      faults.push(fault)
      return 'K7PQ3TX'
    },
  }
}

const plan = (more: Partial<ActionPlan<typeof Input, string>> = {}): ActionPlan<typeof Input, string> => ({
  right: 'stock.issue',
  schema: Input,
  run: async (_, input) => `${input.quantity} from ${input.bin}`,
  ...more,
})

function form(fields: Record<string, string>): FormData {
  const data = new FormData()
  for (const [name, value] of Object.entries({ key: 'key-of-this-form', bin: 'B-4', quantity: '3', ...fields }))
    data.append(name, value)
  return data
}

describe('an action', () => {
  test('hands on who, when, the key and the checked input, and answers what was done', async () => {
    const run = vi.fn(async () => 'taken')
    const outcome = await actionAnswer(
      plan({ run, then: (answer) => ({ says: `It is ${answer}.` }) }),
      form({}),
      hands(ida),
    )
    expect(run).toHaveBeenCalledWith(
      { key: 'key-of-this-form', personId: 'person-ida', now: NOW },
      { bin: 'B-4', quantity: 3 },
      ida,
    )
    expect(outcome.state).toEqual({ ok: true, answer: 'taken', says: 'It is taken.', key: 'key-of-this-form' })
  })

  // From the first to the last thing that is looked at; each row is wrong in everything that comes after as well.
  test.each([
    ['people/not-signed-in', null, { key: '', quantity: 'x' }],
    ['people/not-allowed', { ...ida, roles: ['buyer' as const] }, { key: '', quantity: 'x' }],
    ['input/no-key', ida, { key: '', quantity: 'x' }],
    ['input/invalid', ida, { quantity: 'x' }],
  ])('is refused with %s before anything is done', async (code, who, fields) => {
    const run = vi.fn(async () => 'taken')
    const { state } = await actionAnswer(plan({ run }), form(fields), hands(who))
    expect(state).toMatchObject({ ok: false, code, values: { bin: 'B-4', quantity: 'x' } })
    expect(run).not.toHaveBeenCalled()
  })

  test('that is open runs for nobody', async () => {
    const { state } = await actionAnswer(plan({ right: 'open' }), form({}), hands(null))
    expect(state).toMatchObject({ ok: true, answer: '3 from B-4' })
  })

  test('for everybody who is signed in asks for no role, but for being signed in', async () => {
    const any = plan({ right: 'signed-in' })
    expect((await actionAnswer(any, form({}), hands({ ...ida, roles: [] }))).state.ok).toBe(true)
    expect((await actionAnswer(any, form({}), hands(null))).state).toMatchObject({ code: 'people/not-signed-in' })
  })

  test('puts each fault of the input at its field', async () => {
    const { state } = await actionAnswer(plan(), form({ bin: 'B', quantity: '' }), hands(ida))
    expect(state).toMatchObject({
      fields: { bin: 'name the bin', quantity: 'enter a number' },
      happened: 'Some of what was entered cannot be used: name the bin; enter a number.',
    })
  })

  test('shows a refusal of the shelf in its own words, with its fields and what was typed', async () => {
    const run = async () => {
      throw new Refusal(
        'stock/not-enough',
        { left: 1, part: 'TX-7', bin: 'B-4', wanted: 3 },
        { fields: { quantity: 'only 1 left' }, faults: ['row 2'] },
      )
    }
    const { state } = await actionAnswer(plan({ run }), form({ secret: '7391' }), hands(ida))
    expect(state).toEqual({
      ok: false,
      code: 'stock/not-enough',
      happened: 'Only 1 of TX-7 left in B-4; 3 wanted.',
      next: 'Take what is there, another bin, or put the part on the order list.',
      fields: { quantity: 'only 1 left' },
      faults: ['row 2'],
      values: { bin: 'B-4', quantity: '3' },
    })
  })

  test('answers a fault of the program with a reference number and keeps the cause for the log', async () => {
    const cause = new Error('SELECT secretHash FROM Person')
    const given = hands(ida)
    const { state } = await actionAnswer(plan({ run: () => Promise.reject(cause), kind: 'take' }), form({}), given)
    expect(state).toMatchObject({ ok: false, code: 'fault', happened: expect.stringContaining('K7PQ3TX') })
    expect(JSON.stringify(state)).not.toContain('secretHash')
    expect(given.faults).toEqual([['take', cause]])
  })

  test('lets pass what the hands throw: a redirect is not a fault', async () => {
    const going = new Error('NEXT_REDIRECT')
    const given = {
      ...hands(ida),
      fault: () => {
        throw going
      },
    }
    await expect(actionAnswer(plan({ run: () => Promise.reject(going) }), form({}), given)).rejects.toBe(going)
  })
})

test('sentences that the schema library makes up do not reach the person', () => {
  const read = z.object({ a: z.string(), b: z.number(), c: z.string().max(1), d: z.enum(['x']) }).safeParse({
    b: 'one',
    c: 'long',
    d: 'y',
  })
  expect(inputRefusal(read.error?.issues ?? []).fields).toEqual({
    a: 'fill this in',
    b: 'this cannot be used',
    c: 'this cannot be used',
    d: 'this cannot be used',
  })
})

describe('problem details (RFC 9457)', () => {
  test('of a refusal have the media type, the members of the standard, and what to do next', async () => {
    const refusal = new Refusal('people/wait', { name: 'Ida Marsh', seconds: 20 })
    const response = problem(refusal)
    expect(response.status).toBe(429)
    expect(response.headers.get('content-type')).toMatch(/^application\/problem\+json/)
    expect(await response.json()).toEqual({
      type: 'urn:cotterbook:refusal:people/wait',
      title: 'people: wait',
      status: 429,
      detail: 'Too many wrong tries for Ida Marsh.',
      next: 'Wait 20 seconds, then try again.',
    })
  })
  test('have the same title for every refusal of a code, as the standard asks', async () => {
    const titles = await Promise.all(
      [3, 4].map(async (part) => (await problem(new Refusal('stock/unknown-part', { part })).json()).title),
    )
    expect(titles[0]).toBe(titles[1])
  })
  test('name the fields and rows where there are any', async () => {
    const refusal = new Refusal('input/invalid', { what: 'x' }, { fields: { bin: 'name the bin' }, faults: ['row 2'] })
    expect(await problem(refusal).json()).toMatchObject({ fields: { bin: 'name the bin' }, faults: ['row 2'] })
  })
  test('of a fault tell the reference number only', async () => {
    const response = problemOfFault('K7PQ3TX')
    expect(response.status).toBe(500)
    expect((await response.json()).detail).toBe('Something went wrong in the program. Reference K7PQ3TX.')
  })
})
