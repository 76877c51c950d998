import type { StockUnit } from '../measure/quantity.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { type CopyKind, copyChosen, type WaitingLine, type WinterCopyContent } from '../winter/copy.ts'
import {
  type PartReview,
  type PartSeason,
  partReview,
  type ReviewSums,
  reviewRows,
  reviewSums,
} from '../winter/review.ts'
import { type ChancesReview, chancesReview } from '../winter/review-looks.ts'
import { type MachineReview, machineReview, type SeasonJob } from '../winter/review-machine.ts'
import { database } from './client.ts'
import { looksCounted, looksKnown } from './service-schedule.ts'
import { type WinterPlanRow, winterPlanRead } from './winter.ts'
import { turnedNow, winterCopies, winterCopyRead, winterEndRead } from './winter-copy.ts'
import { looksFound, ordersOf, partsOf, type Span, servicesOpened, shelfOf, takesOf } from './winter-season.ts'
import { linesWaiting } from './winter-waiting.ts'

export interface WinterReview {
  plan: WinterPlanRow
  currency: string
  /** The days that are counted: of the season, from the copy on, up to today. */
  span: Span
  isOver: boolean
  copy: { kind: CopyKind; at: Date } | null
  /** Which chance of a machine is fair: with the list bought where it was ordered after the copy, else as things stood. */
  chance: 'now' | 'bought'
  rows: PartReview[]
  sums: ReviewSums
  /** Parts that jobs used, that the plan did not name and that were there. */
  unforeseen: ReviewSums
  machines: MachineReview[]
  chances: ChancesReview
  numbers: Map<number, string>
}

/** A season set beside what its plan said; null before it begins. Refuses with 'winter/no-such'. */
export async function winterReview(planId: number, now: Date): Promise<WinterReview | null> {
  const today = dateOf(now)
  const plan = await winterPlanRead(planId)
  if (today < plan.work.from) return null
  const copies = await winterCopies(planId)
  const chosen = copyChosen(copies, plan.work.from)
  const content = chosen && (await winterCopyRead(chosen.id))
  const keptOn = chosen === null ? plan.work.from : dateOf(chosen.at)
  // What came before the copy is in what it says, and is not counted once more.
  const [, from] = [plan.work.from, keptOn].sort()
  const [until] = [plan.work.until, today].sort()
  const span = { from: from!, until: until! }
  const ended = copies.findLast(({ kind }) => kind === 'end')
  const [takes, ordered, waiting, found, jobs, counted] = await Promise.all([
    takesOf(span),
    ordersOf(planId, span),
    plan.endedAt !== null && ended ? winterEndRead(ended.id) : linesWaiting(database(), span.until),
    looksFound(span),
    servicesOpened(span),
    looksCounted(database()),
  ])
  const named = [...takes, ...ordered, ...waiting, ...(content?.parts ?? [])].map(({ partId }) => partId)
  const turn = await turnedNow(database(), [...new Set(named)])
  const turned = <Row extends Turned>(rows: readonly Row[]) =>
    rows.map((row) => ({ ...row, ...turn(row.partId, row.quantity) }))
  const season = { takes: turned(takes), ordered: turned(ordered), waiting: turned(waiting) }
  const planned = new Map((content?.parts ?? []).map((part) => [turn(part.partId, 0).partId, part]))
  const ids = [...new Set([...named, ...named.map((id) => turn(id, 0).partId)])].sort((a, b) => a - b)
  const shelf = await shelfOf(planId, ids, span)
  const parts = await partsOf(ids)
  const summed = (sums: ReadonlyMap<number, number>) => {
    const all = new Map<number, number>()
    for (const one of [...sums].map(([partId, quantity]) => turn(partId, quantity)))
      all.set(one.partId, (all.get(one.partId) ?? 0) + one.quantity)
    return all
  }
  const [opening, coming] = [summed(shelf.opening), summed(shelf.coming)]
  const reviews = reviewsOf(
    parts.filter(({ id }) => turn(id, 0).partId === id),
    { ...season, opening, coming, planned },
  )
  const { rows, unforeseen } = reviewRows(reviews)
  return {
    plan,
    currency: settingsRead().currency,
    span,
    isOver: today > plan.work.until || plan.endedAt !== null,
    copy: chosen && { kind: chosen.kind, at: chosen.at },
    chance: ordered.some(({ isOfPlan, orderedAt }) => isOfPlan && chosen !== null && orderedAt >= chosen.at)
      ? 'bought'
      : 'now',
    rows,
    sums: reviewSums(rows),
    unforeseen,
    machines: machinesOf(content, jobs, { ...season, opening, lines: turned(shelf.lines), today }),
    chances: chancesReview(content?.looks ?? [], found, (key) => looksKnown(key, counted)),
    numbers: new Map(parts.map(({ id, number }) => [id, number])),
  }
}

interface Turned {
  partId: number
  quantity: number
}

interface Season {
  takes: (Turned & { jobId: number; on: PlainDate; costMinor: number })[]
  ordered: (Turned & { costMinor: number; isOfPlan: boolean })[]
  waiting: (Turned & WaitingLine)[]
  opening: ReadonlyMap<number, number>
}

function reviewsOf(
  parts: readonly { id: number; number: string; description: string; unit: string; costMinor: number | null }[],
  season: Season & {
    coming: ReadonlyMap<number, number>
    planned: ReadonlyMap<number, WinterCopyContent['parts'][number]>
  },
): PartReview[] {
  const blank = { bought: 0, boughtMinor: 0, used: 0, usedMinor: 0, waiting: 0, orderedBeside: 0 }
  const rows = new Map(
    parts.map(({ id, costMinor, unit, ...part }): [number, PartSeason] => {
      const priceMinor = season.planned.get(id)?.priceMinor ?? costMinor
      const said = {
        ...part,
        unit: unit as StockUnit,
        priceMinor,
        opening: (season.opening.get(id) ?? 0) + (season.coming.get(id) ?? 0),
      }
      return [id, { partId: id, ...said, ...blank }]
    }),
  )
  for (const { partId, quantity, costMinor } of season.takes) {
    const row = rows.get(partId)!
    row.used += quantity
    row.usedMinor += costMinor
  }
  for (const { partId, quantity, costMinor, isOfPlan } of season.ordered) {
    const row = rows.get(partId)!
    if (!isOfPlan) row.orderedBeside += quantity
    else {
      row.bought += quantity
      row.boughtMinor += costMinor
    }
  }
  for (const { partId, quantity } of season.waiting) rows.get(partId)!.waiting += quantity
  return [...rows.values()]
    .map((row) => partReview(season.planned.get(row.partId) ?? null, row))
    .filter(({ part, planned }) => planned !== null || part.used !== 0 || part.bought > 0 || part.waiting > 0)
}

function machinesOf(
  content: WinterCopyContent | null,
  jobs: Awaited<ReturnType<typeof servicesOpened>>,
  season: Season & { lines: (Turned & { on: PlainDate; isReceipt: boolean })[]; today: PlainDate },
): MachineReview[] {
  const ofPart = new Map<number, typeof season.lines>()
  for (const line of season.lines) {
    const lines = ofPart.get(line.partId)
    if (lines) lines.push(line)
    else ofPart.set(line.partId, [line])
  }
  const shelf = {
    onHand: (partId: number, day: PlainDate) =>
      (ofPart.get(partId) ?? []).reduce(
        (sum, { on, quantity }) => sum + (on <= day ? quantity : 0),
        season.opening.get(partId) ?? 0,
      ),
    cameOn: (partId: number) => (ofPart.get(partId) ?? []).flatMap(({ on, isReceipt }) => (isReceipt ? [on] : [])),
  }
  const jobOf = ({ id, ...job }: (typeof jobs)[number]): SeasonJob => ({
    ...job,
    id,
    takes: season.takes.filter(({ jobId }) => jobId === id),
    lacks: season.waiting.filter(({ jobId }) => jobId === id),
  })
  return (content?.machines ?? []).map((machine) =>
    machineReview(machine, jobs.filter(({ machineId }) => machineId === machine.id).map(jobOf), {
      shelf,
      today: season.today,
    }),
  )
}
