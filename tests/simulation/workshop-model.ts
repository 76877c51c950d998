/**
 * The simple truth about a workshop, in memory and without a database: what every request must answer, what lies where, what
 * jobs are promised and what the stock is worth. It judges the ledger, so it shares no code with it: pieces are dealt one claim
 * at a time, and money is worked out in whole numbers without a limit.
 */
export type Request =
  | { verb: 'receive'; part: number; bin: number; quantity: number; cost: number | null }
  | { verb: 'issue'; part: number; bin: number; quantity: number }
  | { verb: 'count'; part: number; bin: number; counted: number; expected: number }
  | { verb: 'transfer'; part: number; bin: number; to: number; quantity: number }
  | { verb: 'reverse'; line: number }
  | { verb: 'want'; job: number; part: number; quantity: number }
  | { verb: 'take'; job: number; part: number; bin: number; quantity: number }
  | { verb: 'put-back'; job: number; part: number; bin: number; quantity: number }

export interface ModelLine {
  kind: string
  part: number
  bin: number
  quantity: number
  cost: number | null
  value: bigint
  claim: Claim | null
  isReversed: boolean
}

export interface Claim {
  job: number
  part: number
  wanted: number
  taken: number
  kept: number
}

export interface ModelPart {
  /** Minor units of one stock unit. */
  scale: number
  cost: number | null
  value: bigint
}

/** What each bin was left with, a number a movement; or the code of the refusal. */
export type Answer = { left: number[] } | { refused: string }

const NONE: Answer = { left: [] }

/** times x value / of, half away from zero. */
function share(times: bigint, value: bigint, of: bigint): bigint {
  const whole = (times * value) / of
  return 2n * ((times * value) % of) >= of ? whole + 1n : whole
}

export class WorkshopModel {
  readonly lines: ModelLine[] = []
  readonly claims: Claim[] = []
  readonly bins: number[][]
  readonly parts: ModelPart[]

  constructor(scales: readonly number[], bins: number) {
    this.parts = scales.map((scale) => ({ scale, cost: null, value: 0n }))
    this.bins = scales.map(() => Array.from({ length: bins }, () => 0))
  }

  onHand(part: number): number {
    return this.bins[part]!.reduce((sum, quantity) => sum + quantity, 0)
  }

  claimOf(job: number, part: number): Claim | undefined {
    return this.claims.find((claim) => claim.job === job && claim.part === part)
  }

  judge(asked: Request): Answer {
    switch (asked.verb) {
      case 'receive': {
        const left = this.move('receive', asked.part, asked.bin, asked.quantity, { cost: asked.cost })
        if (asked.cost !== null) this.parts[asked.part]!.cost = asked.cost
        this.promise(asked.part)
        return left
      }
      case 'issue':
        if (this.isKept(asked.part, asked.quantity, 0)) return { refused: 'stock/reserved' }
        return this.move('issue', asked.part, asked.bin, -asked.quantity)
      case 'count':
        return this.count(asked)
      case 'transfer':
        return this.transfer(asked)
      case 'reverse':
        return this.reverse(asked.line)
      case 'want': {
        const claim = this.claimOf(asked.job, asked.part)
        if (claim) claim.wanted += asked.quantity
        else this.claims.push({ job: asked.job, part: asked.part, wanted: asked.quantity, taken: 0, kept: 0 })
        this.promise(asked.part)
        return NONE
      }
      case 'take':
        return this.take(asked)
      case 'put-back':
        return this.putBack(asked)
    }
  }

  private count({ part, bin, counted, expected }: Request & { verb: 'count' }): Answer {
    const there = this.bins[part]![bin]!
    if (expected !== there) return { refused: 'stock/moved-since' }
    if (counted === there) return NONE
    const left = this.move('count-difference', part, bin, counted - there)
    this.promise(part)
    return left
  }

  private transfer({ part, bin, to, quantity }: Request & { verb: 'transfer' }): Answer {
    if (bin === to) return { refused: 'input/invalid' }
    if (this.bins[part]![bin]! < quantity) return { refused: 'stock/not-enough' }
    const out = this.move('transfer-out', part, bin, -quantity) as { left: number[] }
    const into = this.move('transfer-in', part, to, quantity) as { left: number[] }
    return { left: [...out.left, ...into.left] }
  }

  private take({ job, part, bin, quantity }: Request & { verb: 'take' }): Answer {
    const claim = this.claimOf(job, part)
    if (!claim) return { refused: 'job/unknown-need' }
    if (this.isKept(part, quantity, claim.kept)) return { refused: 'stock/reserved' }
    const answer = this.move('issue', part, bin, -quantity, { claim })
    if ('refused' in answer) return answer
    claim.taken += quantity
    claim.kept = Math.max(0, claim.kept - quantity)
    claim.wanted = Math.max(claim.wanted, claim.taken)
    this.promise(part)
    return answer
  }

  private putBack({ job, part, bin, quantity }: Request & { verb: 'put-back' }): Answer {
    const claim = this.claimOf(job, part)
    if (!claim) return { refused: 'job/unknown-need' }
    if (quantity > claim.taken) return { refused: 'input/invalid' }
    const answer = this.move('return', part, bin, quantity, { claim, cost: this.costTaken(claim) })
    claim.taken -= quantity
    claim.wanted = claim.taken
    this.promise(part)
    return answer
  }

  /** What the job paid for one stock unit of what it still has out, rounded down. */
  private costTaken(claim: Claim): number {
    const scale = BigInt(this.parts[claim.part]!.scale)
    let out = 0n
    for (const line of this.lines) {
      if (line.claim !== claim) continue
      const money = share(BigInt(Math.abs(line.quantity)), BigInt(line.cost ?? 0), scale)
      out += line.quantity < 0 ? money : -money
    }
    return out < 0n ? 0 : Number((out * scale) / BigInt(claim.taken))
  }

  private reverse(at: number): Answer {
    const line = this.lines[at]
    if (!line) return { refused: 'stock/not-reversible' }
    if (line.isReversed) return { refused: 'stock/already-reversed' }
    if (line.kind === 'reversal' || line.kind.startsWith('transfer')) return { refused: 'stock/not-reversible' }
    const { claim } = line
    if (claim && claim.taken + line.quantity < 0) return { refused: 'stock/not-reversible' }
    const answer = this.move('reversal', line.part, line.bin, -line.quantity, {
      claim,
      cost: line.cost,
      takesBack: line.value,
    })
    if ('refused' in answer) return answer
    line.isReversed = true
    if (claim) claim.taken += line.quantity
    this.promise(line.part)
    return answer
  }

  /** True when so much is there, but not so much that no other job is promised. */
  private isKept(part: number, quantity: number, own: number): boolean {
    const kept = this.claims.filter((claim) => claim.part === part).reduce((sum, claim) => sum + claim.kept, 0)
    const there = this.onHand(part)
    return kept > 0 && there >= quantity && there - kept + own < quantity
  }

  /** Nobody loses a promise to a later job while the shelf holds it; what is free goes to the oldest job that wants some. */
  private promise(part: number): void {
    let free = this.onHand(part)
    const waiting = this.claims.filter((claim) => claim.part === part).sort((a, b) => a.job - b.job)
    const still = (claim: Claim) => Math.max(0, claim.wanted - claim.taken)
    for (const claim of waiting) {
      claim.kept = Math.min(claim.kept, still(claim), free)
      free -= claim.kept
    }
    for (const claim of waiting) {
      const more = Math.min(still(claim) - claim.kept, free)
      claim.kept += more
      free -= more
    }
  }

  private move(
    kind: string,
    part: number,
    bin: number,
    quantity: number,
    more: { claim?: Claim | null; cost?: number | null; takesBack?: bigint } = {},
  ): Answer {
    const left = this.bins[part]![bin]! + quantity
    if (left < 0) return { refused: 'stock/not-enough' }
    const cost = more.cost ?? this.parts[part]!.cost
    const value = this.valueOf({ kind, part, quantity, cost, takesBack: more.takesBack ?? null })
    this.bins[part]![bin] = left
    this.parts[part]!.value += value
    this.lines.push({ kind, part, bin, quantity, cost, value, claim: more.claim ?? null, isReversed: false })
    return { left: [left] }
  }

  private valueOf(line: {
    kind: string
    part: number
    quantity: number
    cost: number | null
    takesBack: bigint | null
  }): bigint {
    const { value, scale } = this.parts[line.part]!
    if (line.kind.startsWith('transfer')) return 0n
    const there = this.onHand(line.part)
    if (there + line.quantity === 0) return -value
    if (line.takesBack !== null) return line.takesBack > value ? -value : -line.takesBack
    const size = BigInt(Math.abs(line.quantity))
    const paid = line.kind === 'receive' && line.cost !== null
    const money =
      paid || there === 0 ? share(size, BigInt(line.cost ?? 0), BigInt(scale)) : share(size, value, BigInt(there))
    return line.quantity < 0 ? -money : money
  }
}
