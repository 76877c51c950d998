import { z } from 'zod'
import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import type { WinterAnswer } from './answer.ts'
import { looksChances, type WinterFacts, wantChance } from './facts.ts'
import type { WinterPlanned } from './plan.ts'

const Looked = z.object({ looked: z.number(), renewed: z.number() })

/**
 * What a plan said on a day, for as long as anybody asks. Quantities in minor units of the part, prices for one stock unit in
 * minor units of money, chances from 0 to 1.
 */
export const WinterCopyContent = z.object({
  from: z.string(),
  until: z.string(),
  parts: z.array(
    z.object({
      partId: z.number(),
      /** Needed in any case, what the shelf keeps for open jobs among it. */
      certain: z.number(),
      /** Expected in all, failures among it. */
      mean: z.number(),
      /** Enough with 95 of 100. */
      enough: z.number(),
      /** Free, on order and kept for jobs. */
      stock: z.number(),
      /** What orders of the plan had asked for by then; it is in `stock` as far as it was not used. */
      ordered: z.number(),
      priceMinor: z.number().nullable(),
    }),
  ),
  machines: z.array(
    z.object({
      id: z.number(),
      fleetNumber: z.string(),
      name: z.string(),
      weekOn: z.string().nullable(),
      /** Day by which its parts were wanted. */
      wantedOn: z.string(),
      services: z.array(z.string()),
      /** That it waits for no part: as things stood, and with the list bought. */
      now: z.number(),
      bought: z.number(),
    }),
  ),
  looks: z.array(z.object({ key: z.string(), text: z.string(), own: Looked, others: Looked })),
  /** What the works of each machine ask for; `mean` holds what looks are expected to find, and what is certain. */
  needs: z.array(z.object({ partId: z.number(), machineId: z.number(), certain: z.number(), mean: z.number() })),
})
export type WinterCopyContent = z.infer<typeof WinterCopyContent>
export type CopyPart = WinterCopyContent['parts'][number]
export type CopyMachine = WinterCopyContent['machines'][number]
export type CopyLook = WinterCopyContent['looks'][number]
export type CopyNeed = WinterCopyContent['needs'][number]

/** What a closed plan keeps of the lines that no part had come for. */
export const WinterWaiting = z.object({
  waiting: z.array(z.object({ jobId: z.number(), machineId: z.number(), partId: z.number(), quantity: z.number() })),
})
export type WaitingLine = z.infer<typeof WinterWaiting>['waiting'][number]

export const COPY_KINDS = ['begin', 'orders', 'end'] as const
export type CopyKind = (typeof COPY_KINDS)[number]

/** What each machine asks for of each part, services and open jobs together. */
export function winterNeeds(
  { looks }: Pick<WinterFacts, 'looks'>,
  { works }: Pick<WinterPlanned, 'works'>,
): CopyNeed[] {
  const chances = looksChances(looks)
  const needs = new Map<string, CopyNeed>()
  for (const { machineId, wants } of works)
    for (const want of wants) {
      const { partId, quantity } = want
      const key = `${partId} ${machineId}`
      const need = needs.get(key) ?? { partId, machineId, certain: 0, mean: 0 }
      if (want.looks.length === 0) need.certain += quantity
      need.mean += quantity * wantChance(want, (look) => chances.get(look)!)
      needs.set(key, need)
    }
  return [...needs.values()].sort((a, b) => a.partId - b.partId || a.machineId - b.machineId)
}

interface Standing {
  facts: WinterFacts
  planned: WinterPlanned
  answer: WinterAnswer
}

/** A plan as it stands, to be kept. `kept` by the shelf for open jobs and `ordered` by the plan, by part id. */
export function winterCopy(
  { facts, planned, answer }: Standing,
  { kept, ordered }: { kept: ReadonlyMap<number, number>; ordered: ReadonlyMap<number, number> },
): WinterCopyContent {
  const reckoned = new Map(answer.parts.map((one) => [one.partId, one]))
  const chances = new Map(answer.machines.map((one) => [one.machineId, one]))
  const places = new Map(planned.places.map((one) => [one.id, one]))
  const wanted = new Map(planned.works.flatMap(({ job, machineId, wantedOn }) => (job ? [] : [[machineId, wantedOn]])))
  return {
    from: facts.work.from,
    until: facts.work.until,
    parts: facts.parts.map(({ id, free, onOrder, offer }) => {
      const part = reckoned.get(id)
      const keeps = kept.get(id) ?? 0
      const there = onOrder.reduce((sum, { quantity }) => sum + quantity, free)
      return {
        partId: id,
        certain: (part?.certain ?? 0) + keeps,
        mean: (part?.mean ?? 0) + keeps,
        enough: (part?.enough ?? 0) + keeps,
        stock: there + keeps,
        ordered: ordered.get(id) ?? 0,
        priceMinor: offer?.priceMinor ?? null,
      }
    }),
    machines: facts.machines.map(({ id, fleetNumber, name, services }) => {
      const wantedOn = wanted.get(id)
      must(wantedOn !== undefined, 'a machine that comes in has a day by which its parts are wanted')
      return {
        id,
        fleetNumber,
        name,
        weekOn: places.get(id)?.weekOn ?? null,
        wantedOn,
        services: services.map((one) => one.name),
        now: chances.get(id)?.now ?? 1,
        bought: chances.get(id)?.bought ?? 1,
      }
    }),
    looks: facts.looks.map(({ key, text, own, others }) => ({ key, text, own, others })),
    needs: winterNeeds(facts, planned),
  }
}

export interface CopyKept {
  kind: CopyKind
  at: Date
}

/**
 * The copy that a review goes by: the one kept when the season began; else the last that orders were made with before that day;
 * else the first after it. Null where none was kept.
 */
export function copyChosen<Kept extends CopyKept>(copies: readonly Kept[], from: PlainDate): Kept | null {
  const sorted = copies.filter(({ kind }) => kind !== 'end').toSorted((a, b) => a.at.getTime() - b.at.getTime())
  return (
    sorted.find(({ kind }) => kind === 'begin') ?? sorted.findLast(({ at }) => dateOf(at) <= from) ?? sorted[0] ?? null
  )
}

/** What a quantity that need not be whole costs, rounded to whole minor units; 0 where no price is known. */
export function costOf(priceMinor: number | null, quantity: number, unit: StockUnit): number {
  return priceMinor === null ? 0 : moneyOfQuantity(priceMinor, Math.round(quantity), unit)
}
