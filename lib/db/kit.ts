import { type KitFacts, type KitHint, type KitNeed, kitHints } from '../catalogue/kit.ts'
import { type KitChoice, kitChoices } from '../catalogue/kit-choice.ts'
import type { KitContentForm } from '../catalogue/schema.ts'
import { quantityParse, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { offerBest } from '../price/offer-best.ts'
import { Refusal } from '../refusal.ts'
import { dayOf } from './batch.ts'
import { database, type Tx } from './client.ts'
import { offersNow } from './offer-price.ts'
import { partStock } from './part.ts'
import { partKnown, partTyped } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** Puts a part into a kit, or changes how many of it one kit holds. */
export function kitContentSet(context: WriteContext, input: KitContentForm): Promise<null> {
  return write(context, 'catalogue.kit-content', input, async (tx) => {
    const kit = await partKnown(tx, input.kitId)
    const content = await partTyped(tx, input)
    if (content.id === kit.id) throw new Refusal('catalogue/same-part', { number: kit.number })
    const inside = await tx.kitContent.findFirst({ where: { kitId: content.id, contentId: kit.id } })
    if (inside) throw new Refusal('catalogue/cycle', { loop: `${kit.number} -> ${content.number} -> ${kit.number}` })
    const quantity = quantityParse(input.quantity, content.unit as StockUnit)
    if (quantity === null || quantity <= 0)
      throw new Refusal(
        'input/invalid',
        { what: 'how many one kit holds' },
        {
          fields: { quantity: content.unit === 'each' ? 'a whole number above zero' : `${content.unit}s, above zero` },
        },
      )
    const key = { kitId: kit.id, contentId: content.id }
    await tx.kitContent.upsert({ where: { kitId_contentId: key }, create: { ...key, quantity }, update: { quantity } })
    return null
  })
}

export function kitContentRemove(context: WriteContext, input: { kitId: number; contentId: number }): Promise<null> {
  return write(context, 'catalogue.kit-content-remove', input, async (tx) => {
    const { count } = await tx.kitContent.deleteMany({ where: input })
    if (count === 0) throw new Refusal('catalogue/no-such')
    return null
  })
}

export interface KitContentView {
  partId: number
  number: string
  description: string
  unit: StockUnit
  /** In one kit, minor units. */
  quantity: number
  /** Loose on the shelf. What lies inside kits is not in it. */
  onHand: number
}

export interface HoldingKitView {
  kitId: number
  number: string
  description: string
  /** Of this part in one kit, minor units. */
  quantity: number
  /** Whole kits on the shelf. */
  onHand: number
}

/** What a part holds as a kit, and the kits that hold it. Loose stock and stock inside kits stay apart. */
export async function partKits(partId: number): Promise<{ contents: KitContentView[]; inKits: HoldingKitView[] }> {
  const db = database()
  const [contents, inKits] = await Promise.all([
    db.kitContent.findMany({ where: { kitId: partId }, include: { content: true }, orderBy: { contentId: 'asc' } }),
    db.kitContent.findMany({ where: { contentId: partId }, include: { kit: true }, orderBy: { kitId: 'asc' } }),
  ])
  const stock = await partStock(db, [...contents.map((row) => row.contentId), ...inKits.map((row) => row.kitId)])
  return {
    contents: contents.map(({ content, quantity }) => ({
      partId: content.id,
      number: content.number,
      description: content.description,
      unit: content.unit as StockUnit,
      quantity,
      onHand: stock.get(content.id)!.onHand,
    })),
    inKits: inKits.map(({ kit, quantity }) => ({
      kitId: kit.id,
      number: kit.number,
      description: kit.description,
      quantity,
      onHand: stock.get(kit.id)!.onHand,
    })),
  }
}

export interface KitHintView extends KitHint {
  /** Whole kits on the shelf now. */
  onHand: number
}

/** What kits hold that hold some of the wanted, with today's prices. Discontinued kits are never spoken of. */
async function kitFactsFor(
  reader: Tx,
  wanted: readonly { partId: number; quantity: number }[],
): Promise<{ needs: KitNeed[]; facts: KitFacts[] }> {
  const sums = new Map<number, number>()
  for (const { partId, quantity } of wanted) sums.set(partId, (sums.get(partId) ?? 0) + quantity)
  if (sums.size < 2) return { needs: [], facts: [] }
  const kits = await reader.part.findMany({
    where: { discontinuedOn: null, kitContents: { some: { contentId: { in: [...sums.keys()] } } } },
    include: { kitContents: { include: { content: true } } },
    orderBy: { id: 'asc' },
  })
  const offers = await offersNow(reader, [...kits.map(({ id }) => id), ...sums.keys()], dayOf(new Date()))
  // The price of a piece at the quantity that is wanted of it; a kit is bought for one job.
  const price = (part: { id: number; unit: string }, quantity: number, cost: number | null) =>
    offerBest(offers.get(part.id) ?? [], Math.max(1, quantity), quantityScale(part.unit as StockUnit))?.homeUnitMinor ??
    cost
  const parts = new Map(kits.flatMap((kit) => kit.kitContents.map(({ content }) => [content.id, content] as const)))
  const needs = [...parts.values()]
    .filter((part) => sums.has(part.id))
    .map(
      (part): KitNeed => ({
        partId: part.id,
        quantity: sums.get(part.id)!,
        unit: part.unit as StockUnit,
        priceMinor: price(part, sums.get(part.id)!, part.costMinor),
      }),
    )
  const facts = kits.map(
    (kit): KitFacts => ({
      kitId: kit.id,
      number: kit.number,
      description: kit.description,
      // A kit nobody offers cannot be bought, whatever it cost once.
      priceMinor: price(kit, 1, null),
      contents: kit.kitContents.map(({ content, quantity }) => ({
        partId: content.id,
        number: content.number,
        description: content.description,
        quantity,
      })),
    }),
  )
  return { needs, facts }
}

/** Kits that would do what is wanted for less money, by today's offers. */
export async function kitHintsFor(wanted: readonly { partId: number; quantity: number }[]): Promise<KitHintView[]> {
  const db = database() as unknown as Tx
  const { needs, facts } = await kitFactsFor(db, wanted)
  const hints = kitHints(needs, facts)
  const stock = await partStock(
    db,
    hints.map((hint) => hint.kit.kitId),
  )
  return hints.map((hint) => ({ ...hint, onHand: stock.get(hint.kit.kitId)!.onHand }))
}

/** Kits that can stand in for what a job wants, best first. */
export async function kitChoicesFor(
  reader: Tx,
  wanted: readonly { partId: number; quantity: number }[],
): Promise<KitChoice[]> {
  const { needs, facts } = await kitFactsFor(reader, wanted)
  return kitChoices(needs, facts)
}
