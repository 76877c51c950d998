import { itemKey } from '../figure/strip-order.ts'
import { type JobShape, once, type Trigger } from './places.ts'
import type { FigureLine } from './suggestion.ts'

/**
 * How much of a line is in hand, 0 to 1, when it goes with a trigger: of ten nozzles with three renewed, three O-rings. What is used
 * up follows whatever it comes off for, a whole piece at a time: one valve plate of four lies under one pump head of two, and that head
 * has half of the O-rings. Only where the pieces can be told apart: six screws of a cover all come out.
 */
export type ShareOf = (line: FigureLine, trigger: Trigger) => number

/** `whole`: targets of which the rest is asked for as well, so that nothing is saved on what goes with them. */
export function sharesOf(shape: JobShape, main: readonly Trigger[], whole: ReadonlySet<string>): ShareOf {
  const quantities = new Map(shape.input.lines.map((line) => [itemKey(line.item), line.quantity]))
  const steps = new Map(
    shape.input.strip.flatMap((step) => (typeof step === 'string' ? [] : [[itemKey(step.item), step] as const])),
  )
  const chosen = once((key: string): number => {
    const own = main.filter((trigger) => trigger.target && itemKey(trigger.line.item) === key)
    const all = own.reduce((sum, { perPlace, places }) => sum + perPlace * Math.max(1, places.length), 0)
    // Of a rotor whole stations are renewed, or it runs out of balance; of what sits at both ends, those named.
    const isWhole =
      whole.has(key) || all === 0 || own.some(({ stations, line }) => stations !== null || line.facts.ends)
    return isWhole ? 1 : Math.min(1, (own[0]?.chosen ?? 0) / all) || 1
  })
  /** Of what a line comes off for, and of what it is a multiple or a part of: else its pieces cannot be told apart. */
  const of = once((key: string): number => {
    if (shape.targets.has(key)) return chosen(key)
    const step = steps.get(key)
    const quantity = quantities.get(key) ?? 1
    const leads = [...(step?.inTheWayOf ?? []), ...(step?.openedBy ?? [])].map(itemKey)
    if (leads.length === 0) return 1
    const others = (step?.alsoUnder ?? []).map(itemKey)
    const pieces = (keys: readonly string[]) => keys.reduce((sum, one) => sum + (quantities.get(one) ?? 1), 0)
    // One washer under each of two plugs: only that of the plug which comes out.
    if (others.length > 0 && pieces([...leads, ...others]) === quantity)
      return leads.reduce((sum, lead) => sum + of(lead) * (quantities.get(lead) ?? 1), 0) / quantity
    return Math.max(
      ...leads.map((lead) => (areTold(quantity, quantities.get(lead) ?? 1) ? roundUp(of(lead), quantity) : 1)),
    )
  })
  return (line, trigger) => {
    if (trigger.side !== 'main') return 1
    const key = itemKey(line.item)
    if (shape.disturbed.has(key)) return of(key)
    // Taken along with what is renewed: as many as of that, where each of it has its own.
    const { quantity } = trigger.line
    return quantity > 1 && line.quantity % quantity === 0 ? of(itemKey(trigger.line.item)) : 1
  }
}

const areTold = (a: number, b: number) => a % b === 0 || b % a === 0

const roundUp = (share: number, quantity: number) => Math.ceil(share * quantity - 1e-9) / quantity

/** Pieces of `quantity` that a share comes to. */
export function sharePieces(quantity: number, share: number): number {
  return share >= 1 ? quantity : Math.max(1, Math.ceil(quantity * share - 1e-9))
}
