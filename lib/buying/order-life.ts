import { mayDo, type Role } from '../people/role.ts'

/**
 * The life of an order: draft, approved, sent; then the supplier confirms, it comes in parts, and it is closed or its rest is
 * cancelled. Before it is sent it is a draft of its own, of which nothing counts as on order; what is sent is an order with a
 * number. Source of the steps: common practice, no source.
 */
export const DRAFT_STATES = {
  draft: { shape: '✎', says: 'draft' },
  approved: { shape: '✓', says: 'approved, not sent' },
  sending: { shape: '…', says: 'being sent' },
  sent: { shape: '■', says: 'sent' },
  discarded: { shape: '✕', says: 'discarded' },
  merged: { shape: '✕', says: 'merged' },
} as const
export type DraftState = keyof typeof DRAFT_STATES

/** What can be done with a draft: from which states, and what it is then. */
const ACTS = {
  change: { from: ['draft'], to: 'draft' },
  approve: { from: ['draft'], to: 'approved' },
  reopen: { from: ['approved'], to: 'draft' },
  beginSending: { from: ['approved'], to: 'sending' },
  failSending: { from: ['sending'], to: 'approved' },
  finishSending: { from: ['sending'], to: 'sent' },
  send: { from: ['approved'], to: 'sent' },
  discard: { from: ['draft', 'approved'], to: 'discarded' },
  merge: { from: ['draft'], to: 'merged' },
} as const satisfies Record<string, { from: readonly DraftState[]; to: DraftState }>
export type DraftAct = keyof typeof ACTS
export const DRAFT_ACTS = Object.keys(ACTS) as DraftAct[]

/** What a draft is after the act; null where it cannot be done. Example: draftAfter('draft', 'send') is null. */
export function draftAfter(state: DraftState, act: DraftAct): DraftState | null {
  const { from, to } = ACTS[act]
  return (from as readonly DraftState[]).includes(state) ? to : null
}

/** What stands in the record of an order, one line a step. */
export const ORDER_STEPS = {
  drafted: 'Draft made',
  changed: 'Draft changed',
  approved: 'Approved',
  reopened: 'Approval taken back',
  sending: 'Sending begun',
  'not-sent': 'Not sent',
  unknown: 'Not known whether it was sent',
  sent: 'Sent',
  confirmed: 'Confirmed by the supplier',
  called: 'Supplier called',
  came: 'Goods came',
  closed: 'All came, closed',
  cancelled: 'Rest cancelled',
  merged: 'Merged',
  split: 'Split',
  invoiced: 'Invoice entered',
  accepted: 'Difference accepted',
  disputed: 'Difference disputed',
  withdrawn: 'Invoice withdrawn',
  credited: 'Credit note entered',
  uncredited: 'Credit note withdrawn',
  discarded: 'Discarded',
} as const
export type OrderStep = keyof typeof ORDER_STEPS

/**
 * Whether whoever may order, with these roles, may also approve an order of so much goods (money minor units of the workshop, without
 * carriage and deposits): any up to `limitMinor`, above it only whoever has the right to. Null: no limit was set.
 */
export function approvalAllowed(roles: readonly Role[], goodsMinor: number, limitMinor: number | null): boolean {
  return limitMinor === null || goodsMinor <= limitMinor || mayDo(roles, 'buying.approve')
}
