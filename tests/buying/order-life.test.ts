import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { BuyingSettingsForm } from '../../lib/buying/buying-settings.ts'
import { lineDueOn, linesConfirmed, orderDueOn } from '../../lib/buying/due-day.ts'
import { approvalAllowed, DRAFT_ACTS, DRAFT_STATES, type DraftState, draftAfter } from '../../lib/buying/order-life.ts'

describe('the life of a draft', () => {
  const after = (acts: readonly (typeof DRAFT_ACTS)[number][]) => {
    const past: DraftState[] = ['draft']
    for (const act of acts) {
      const next = draftAfter(past.at(-1)!, act)
      if (next !== null) past.push(next)
    }
    return past
  }

  test('nothing is sent that was not approved just before, whatever is pressed in whatever order', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...DRAFT_ACTS), { maxLength: 30 }), (acts) => {
        const past = after(acts)
        const sent = past.indexOf('sent')
        if (sent >= 0) {
          expect(['approved', 'sending']).toContain(past[sent - 1])
          expect(past.slice(past.lastIndexOf('draft'), sent)).toContain('approved')
        }
      }),
    )
  })

  test('what is sent, discarded or merged stays so; one that is being sent is neither changed nor discarded', () => {
    for (const act of DRAFT_ACTS) {
      for (const state of ['sent', 'discarded', 'merged'] as const) expect(draftAfter(state, act)).toBeNull()
    }
    expect(DRAFT_ACTS.filter((act) => draftAfter('sending', act) !== null)).toEqual(['failSending', 'finishSending'])
    expect(Object.keys(DRAFT_STATES)).toHaveLength(6)
  })
})

test('a buyer approves up to the limit and not a penny above it, a manager any order', () => {
  expect(approvalAllowed(['buyer'], 50_000, 50_000)).toBe(true)
  expect(approvalAllowed(['buyer'], 50_001, 50_000)).toBe(false)
  expect(approvalAllowed(['manager'], 50_001, 50_000)).toBe(true)
  expect(approvalAllowed(['mechanic', 'storekeeper'], 50_001, 50_000)).toBe(false)
  expect(approvalAllowed(['buyer'], 9_000_000, null)).toBe(true)
})

describe('when a line is looked for', () => {
  const open = { quantity: 5, received: 2, cancelled: 0 }

  test('it is the day promised last, else the day confirmed, else that of the order', () => {
    expect(lineDueOn({ confirmedOn: null, promisedOn: null }, '2026-11-05')).toBe('2026-11-05')
    expect(lineDueOn({ confirmedOn: '2026-11-09', promisedOn: null }, '2026-11-05')).toBe('2026-11-09')
    expect(lineDueOn({ confirmedOn: '2026-11-09', promisedOn: '2026-11-07' }, '2026-11-05')).toBe('2026-11-07')
  })

  test('an order is looked for with its first line that is still due; what came no longer counts', () => {
    const early = { ...open, received: 5, confirmedOn: '2026-11-03', promisedOn: null }
    const late = { ...open, confirmedOn: '2026-11-12', promisedOn: null }
    expect(orderDueOn([early, late], '2026-11-05')).toBe('2026-11-12')
    expect(orderDueOn([early], '2026-11-05')).toBe('2026-11-05')
    expect(linesConfirmed([early, late])).toBe(true)
    expect(linesConfirmed([early, { ...late, confirmedOn: null }])).toBe(false)
  })
})

test('the settings of ordering: a field left empty sets no limit, anything else must be an amount and a number of days', () => {
  const read = (buyerLimitMinor: string, confirmDays: string) =>
    BuyingSettingsForm.safeParse({ buyerLimitMinor, confirmDays })
  expect(read('', '').data).toEqual({ buyerLimitMinor: null, confirmDays: null, taxThousandths: null })
  expect(read('500', '4').data).toEqual({ buyerLimitMinor: 50_000, confirmDays: 4, taxThousandths: null })
  const tax = (text: string) => BuyingSettingsForm.safeParse({ buyerLimitMinor: '', confirmDays: '', tax: text })
  expect([tax('19.0').data?.taxThousandths, tax('0').data?.taxThousandths]).toEqual([190, 0])
  expect(tax('much').error?.issues.map((issue) => issue.path)).toEqual([['tax']])
  expect(read('lots', '4').error?.issues.map((issue) => issue.path)).toEqual([['buyerLimitMinor']])
  expect(read('500', '0').error?.issues.map((issue) => issue.path)).toEqual([['confirmDays']])
})
