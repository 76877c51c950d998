import type { MovementKind } from '../../lib/stock/movement.ts'

/** What a person does at the shelf. Parts and bins are positions in the small world of one run; quantities in pieces. */
export type Act =
  | { verb: 'receive'; part: number; bin: number; quantity: number }
  | { verb: 'issue'; part: number; bin: number; quantity: number }
  /** `late`: somebody moved parts of the bin between looking and counting, or so the counter believes. */
  | { verb: 'count'; part: number; bin: number; counted: number; late: boolean }
  | { verb: 'transfer'; part: number; bin: number; to: number; quantity: number }
  /** The `nth` movement of the run, counted round. */
  | { verb: 'reverse'; nth: number }
  /** The phone sends the `nth` request of the run again, counted round: same key, same content. */
  | { verb: 'again'; nth: number }

interface Line {
  kind: MovementKind
  part: number
  bin: number
  quantity: number
  reversed: boolean
}

/** The balances that the act leaves, one a movement; none for a count that agrees; or the code of the refusal. */
export type Outcome = { left: number[] } | { refused: string }

/**
 * The simple truth about a shelf, in a few lines and without a database: what each act must answer. It is a judge of the
 * ledger's verbs, so it shares no code with them.
 */
export class ShelfModel {
  readonly lines: Line[] = []
  private readonly there = new Map<string, number>()

  onHand(part: number, bin: number): number {
    return this.there.get(`${part}/${bin}`) ?? 0
  }

  private move(kind: MovementKind, part: number, bin: number, quantity: number): number {
    const left = this.onHand(part, bin) + quantity
    this.there.set(`${part}/${bin}`, left)
    this.lines.push({ kind, part, bin, quantity, reversed: false })
    return left
  }

  /** The movement a reversal means; null while nothing has moved. */
  named(nth: number): number | null {
    return this.lines.length === 0 ? null : nth % this.lines.length
  }

  judge(act: Exclude<Act, { verb: 'again' }>): Outcome {
    if (act.verb === 'receive') return { left: [this.move('receive', act.part, act.bin, act.quantity)] }
    if (act.verb === 'issue') {
      if (this.onHand(act.part, act.bin) < act.quantity) return { refused: 'stock/not-enough' }
      return { left: [this.move('issue', act.part, act.bin, -act.quantity)] }
    }
    if (act.verb === 'count') {
      if (act.late) return { refused: 'stock/moved-since' }
      const difference = act.counted - this.onHand(act.part, act.bin)
      return { left: difference === 0 ? [] : [this.move('count-difference', act.part, act.bin, difference)] }
    }
    if (act.verb === 'transfer') {
      if (act.bin === act.to) return { refused: 'input/invalid' }
      if (this.onHand(act.part, act.bin) < act.quantity) return { refused: 'stock/not-enough' }
      const out = this.move('transfer-out', act.part, act.bin, -act.quantity)
      return { left: [out, this.move('transfer-in', act.part, act.to, act.quantity)] }
    }
    const at = this.named(act.nth)
    if (at === null) return { refused: 'stock/not-reversible' }
    const line = this.lines[at]!
    if (line.reversed) return { refused: 'stock/already-reversed' }
    if (['reversal', 'transfer-out', 'transfer-in'].includes(line.kind)) return { refused: 'stock/not-reversible' }
    if (this.onHand(line.part, line.bin) < line.quantity) return { refused: 'stock/not-enough' }
    line.reversed = true
    return { left: [this.move('reversal', line.part, line.bin, -line.quantity)] }
  }
}
