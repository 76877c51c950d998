import { database } from '../../lib/db/client.ts'
import { countSettingsSave } from '../../lib/db/count-settings.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { inTransaction, type WriteContext } from '../../lib/db/transaction.ts'
import { type Random, randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { COUNT_SETTINGS } from '../../lib/stock/count-settings.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter } from '../support/database.ts'
import { type Answer, type Request, WorkshopModel } from './workshop-model.ts'

const UNITS = ['each', 'each', 'each', 'each', 'litre', 'kilogram'] as const
const BINS = 4
const JOBS = 5
const UNKNOWN = 999_999_999

export interface RunReport {
  steps: number
  movements: number
  /** How often each verb was answered how, so that nobody takes an idle judge for a kind one. */
  answered: Map<string, number>
}

interface Sent {
  context: WriteContext
  asked: Request
  answer: Answer
}

/** One seeded workshop: the real one beside the model, the same requests to both. */
export class WorkshopRun {
  readonly model = new WorkshopModel(
    UNITS.map((unit) => (unit === 'each' ? 1 : 1000)),
    BINS,
  )
  private readonly random: Random
  private readonly seed: string
  private parts: number[] = []
  private bins: number[] = []
  private jobs: number[] = []
  private person = ''
  /** Movement ids in the order of the model's lines. */
  private readonly movements: number[] = []
  private readonly sent: Sent[] = []
  private readonly answered = new Map<string, number>()
  private step = 0

  constructor(seed: string) {
    this.seed = seed
    this.random = randomSeeded(`simulated workshop ${seed}`)
  }

  async open(): Promise<void> {
    this.person = await aPerson(`Nell Farrow ${this.seed}`)
    // Large differences wait for approval: that is judged in tests/stock, here every count is booked.
    const approveMinor = Number.MAX_SAFE_INTEGER
    await countSettingsSave(asWriter(this.person), { ...COUNT_SETTINGS, approveMinor })
    for (const unit of UNITS) this.parts.push(await aPart({ unit }))
    for (let at = 0; at < BINS; at++) this.bins.push(await aBin())
    for (let at = 0; at < JOBS; at++) {
      const machineId = await aMachine()
      const job = await inTransaction(async (tx) => {
        const { _max } = await tx.job.aggregate({ _max: { number: true } })
        const openedAt = new Date('2026-03-04T08:00:00Z')
        const number = (_max.number ?? 0) + 1
        return tx.job.create({
          data: { number, machineId, complaint: 'pump drips', openedAt, openedById: this.person },
        })
      })
      this.jobs.push(job.id)
    }
  }

  /** Sends so many requests and compares each answer; the whole state now and then, and at the end. */
  async work(steps: number, told: (step: number) => void = () => {}): Promise<RunReport> {
    for (let end = this.step + steps; this.step < end; this.step++) {
      await this.one()
      if (randomChance(this.random, 0.004)) await this.compare()
      told(this.step + 1)
    }
    await this.compare()
    return { steps: this.step, movements: this.movements.length, answered: this.answered }
  }

  private tally(name: string): void {
    this.answered.set(name, (this.answered.get(name) ?? 0) + 1)
  }

  private async one(): Promise<void> {
    const dice = this.random()
    const before = this.sent.length === 0 ? null : randomPick(this.random, this.sent.slice(-200))
    if (before && dice < 0.06) {
      // The phone lost the answer and sends the same once more.
      this.expect(await this.send(before.context, before.asked), before.answer, before.asked)
      this.tally('again')
      return
    }
    const asked = this.ask()
    if (before && dice < 0.08) {
      this.expect(await this.send(before.context, { ...asked, verb: 'reverse', line: -1 } as Request), REUSED, asked)
      this.tally('key reused')
      return
    }
    const key = `simulated-${this.seed}-${this.step}`
    const context = { key, personId: this.person, now: new Date(Date.UTC(2026, 0, 5) + this.step * 60_000) }
    const expected = this.model.judge(asked)
    const answer = await this.send(context, asked)
    this.expect(answer, expected, asked)
    this.movements.push(...answer.ids)
    this.tally(`${asked.verb} ${'refused' in expected ? expected.refused : 'done'}`)
    // A refusal leaves its key free, so only what was acknowledged must be answered alike.
    if (!('refused' in expected)) this.sent.push({ context, asked, answer: expected })
    if (this.sent.length > 400) this.sent.splice(0, 200)
  }

  /** What somebody does next; quantities mostly small, so that bins run empty and the last one is fought for. */
  private ask(): Request {
    const { random } = this
    const part = randomInteger(random, 0, UNITS.length - 1)
    const bin = randomInteger(random, 0, BINS - 1)
    const job = randomInteger(random, 0, JOBS - 1)
    const most = UNITS[part] === 'each' ? 4 : 900
    const quantity = randomInteger(random, 1, randomChance(random, 0.1) ? most * 8 : most)
    const there = this.model.bins[part]![bin]!
    const dice = random()
    if (dice < 0.2) {
      const cost = randomChance(random, 0.8) ? randomInteger(random, 0, 20_000) : null
      return { verb: 'receive', part, bin, quantity: quantity * 2, cost }
    }
    if (dice < 0.38) return { verb: 'issue', part, bin, quantity }
    if (dice < 0.48) {
      const counted = Math.max(0, there + randomInteger(random, -2, 2))
      return { verb: 'count', part, bin, counted, expected: randomChance(random, 0.15) ? there + 1 : there }
    }
    if (dice < 0.6) {
      const all = there > 0 && randomChance(random, 0.4)
      return { verb: 'transfer', part, bin, to: randomInteger(random, 0, BINS - 1), quantity: all ? there : quantity }
    }
    if (dice < 0.74) {
      const { length } = this.model.lines
      // Mostly what was booked just now.
      return { verb: 'reverse', line: length - 1 - Math.floor(random() ** 3 * Math.min(length + 1, 300)) }
    }
    if (dice < 0.81) return { verb: 'want', job, part, quantity }
    if (dice < 0.93) return { verb: 'take', job, part, bin, quantity }
    return { verb: 'put-back', job, part, bin, quantity }
  }

  private async needId(job: number, part: number): Promise<number> {
    const need = await database().jobNeed.findFirst({ where: { jobId: this.jobs[job]!, partId: this.parts[part]! } })
    return need?.id ?? UNKNOWN
  }

  private async run(context: WriteContext, asked: Request): Promise<unknown> {
    if (asked.verb === 'reverse')
      return stockReverse(context, { movementId: this.movements[asked.line] ?? UNKNOWN, reason: 'booked by mistake' })
    const partId = this.parts[asked.part]!
    if (asked.verb === 'want')
      return needAdd(context, { jobId: this.jobs[asked.job]!, partId, quantity: asked.quantity })
    const binId = this.bins[asked.bin]!
    switch (asked.verb) {
      case 'receive': {
        const cost = asked.cost === null ? {} : { costMinor: asked.cost }
        return stockReceive(context, { partId, binId, quantity: asked.quantity, ...cost })
      }
      case 'issue':
        return stockIssue(context, { partId, binId, quantity: asked.quantity, reason: 'yard use' })
      case 'count':
        return stockCount(context, {
          partId,
          binId,
          counted: asked.counted,
          expected: asked.expected,
          reason: 'winter count',
        })
      case 'transfer':
        return stockTransfer(context, {
          partId,
          fromBinId: binId,
          toBinId: this.bins[asked.to]!,
          quantity: asked.quantity,
        })
      case 'take':
      case 'put-back': {
        const [jobId, needId] = [this.jobs[asked.job]!, await this.needId(asked.job, asked.part)]
        return asked.verb === 'take'
          ? jobTake(context, { jobId, lines: [{ needId, binId, quantity: asked.quantity }] })
          : jobPutBack(context, { jobId, needId, binId, quantity: asked.quantity })
      }
    }
  }

  private async send(context: WriteContext, asked: Request): Promise<{ answer: Answer; ids: number[] }> {
    try {
      const placed = placedIn(await this.run(context, asked))
      return {
        answer: { left: placed.map((one) => one.balanceAfter) },
        ids: placed.map((one) => one.movementId),
      }
    } catch (error) {
      if (!isRefusal(error)) throw error
      return { answer: { refused: error.code }, ids: [] }
    }
  }

  private expect(got: { answer: Answer }, wanted: Answer, asked: Request): void {
    this.same(`the answer to ${JSON.stringify(asked)}`, got.answer, wanted)
  }

  private same(what: string, got: unknown, wanted: unknown): void {
    const [a, b] = [JSON.stringify(got), JSON.stringify(wanted)]
    if (a !== b) throw new Error(`seed ${this.seed}, step ${this.step}, ${what}: ${a}, the model says ${b}`)
  }

  /** Everything that is kept, against the model: bins, jobs, values, and the values of all movements. */
  private async compare(): Promise<void> {
    const db = database()
    const partId = { in: this.parts }
    const balances = await db.balance.findMany({ where: { partId } })
    const worth = await db.partValue.findMany({ where: { partId } })
    const sums = await db.movement.groupBy({
      by: ['partId'],
      where: { partId },
      _sum: { quantity: true, valueMinor: true },
    })
    const needs = await db.jobNeed.findMany({ where: { partId }, orderBy: { id: 'asc' } })
    for (const [part, id] of this.parts.entries()) {
      const { model } = this
      this.same(
        `what lies of part ${part}`,
        this.bins.map((bin) => balances.find((row) => row.partId === id && row.binId === bin)?.quantity ?? 0),
        model.bins[part],
      )
      const wanted = { quantity: model.onHand(part), valueMinor: Number(model.parts[part]!.value) }
      const kept = worth.find((row) => row.partId === id)
      this.same(
        `what part ${part} is worth`,
        { quantity: kept?.quantity ?? 0, valueMinor: kept?.valueMinor ?? 0 },
        wanted,
      )
      const sum = sums.find((row) => row.partId === id)?._sum
      this.same(
        `what the movements of part ${part} add up to`,
        { quantity: sum?.quantity ?? 0, valueMinor: sum?.valueMinor ?? 0 },
        wanted,
      )
    }
    this.same(
      'what jobs want, took and are promised',
      needs.map((need) => [
        this.jobs.indexOf(need.jobId),
        this.parts.indexOf(need.partId!),
        need.wanted,
        need.taken,
        need.allocated,
      ]),
      this.model.claims.map((claim) => [claim.job, claim.part, claim.wanted, claim.taken, claim.kept]),
    )
    this.tally('compared')
  }
}

const REUSED: Answer = { refused: 'write/key-reused' }

interface Placed {
  movementId: number
  balanceAfter: number
}

/** The movements an answer names; a count that agrees and a wish of a job name none. */
function placedIn(answer: unknown): Placed[] {
  if (answer === null) return []
  const many = answer as { out?: Placed; in?: Placed; movements?: Placed[] }
  const placed = many.movements ?? (many.out && many.in ? [many.out, many.in] : [answer as Placed])
  return placed.filter((one) => one.movementId !== null)
}
