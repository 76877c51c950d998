import { isSoldSo, soldIn } from '../buying/sold-in.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { PlanChoice } from '../replenish/plan-shop-state.ts'
import { database, type Tx } from './client.ts'
import { planRunWanted } from './order-plan-run.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** Where nothing was reckoned yet. */
const SECONDS = 20

export interface PlanChoiceView extends PlanChoice {
  supplier: string | null
  number: string | null
  unit: StockUnit
  by: string
  setAt: string
}

/** What is set by hand now, who set it and when, the first first. */
export async function planChoicesSet(): Promise<PlanChoiceView[]> {
  const db = database() as unknown as Tx
  const rows = await db.orderPlanChoice.findMany({ where: { undoneAt: null }, orderBy: { id: 'asc' } })
  const ids = (of: (row: (typeof rows)[number]) => number | null) => [
    ...new Set(rows.map(of).filter((id) => id !== null)),
  ]
  const [names, parts, suppliers] = await Promise.all([
    personNames(
      db,
      rows.map(({ personId }) => personId),
    ),
    db.part.findMany({ where: { id: { in: ids(({ partId }) => partId) } } }),
    db.supplier.findMany({ where: { id: { in: ids(({ supplierId }) => supplierId) } } }),
  ])
  const partOf = new Map(parts.map((part) => [part.id, part]))
  const supplierOf = new Map(suppliers.map((supplier) => [supplier.id, supplier]))
  return rows.map(({ id, kind, supplierId, partId, amount, personId, setAt }) => ({
    id,
    kind: kind as PlanChoice['kind'],
    supplierId,
    partId,
    amount,
    supplier: supplierOf.get(supplierId ?? 0)?.name ?? null,
    number: partOf.get(partId ?? 0)?.number ?? null,
    unit: (partOf.get(partId ?? 0)?.unit ?? 'each') as StockUnit,
    by: names(personId),
    setAt: setAt.toISOString(),
  }))
}

/** Changes what is set by hand and writes down that a plan is wanted by it, in the place of one that is at work. */
function handWrite<T>(
  context: WriteContext,
  kind: string,
  input: T,
  change: (tx: Tx) => Promise<void>,
): Promise<{ runId: number }> {
  return write(context, kind, input, async (tx) => {
    await change(tx)
    const last = await tx.orderPlanRun.findFirst({ orderBy: { id: 'desc' }, select: { seconds: true } })
    return { runId: await planRunWanted(tx, context, { seconds: last?.seconds ?? SECONDS, instead: true }) }
  })
}

/** What was said of the same thing before gives way. */
async function choiceSet(tx: Tx, { now, personId }: WriteContext, choice: Omit<PlanChoice, 'id'>): Promise<void> {
  const { kind, supplierId, partId } = choice
  const same =
    kind === 'quantity' || kind === 'no-offer'
      ? { kind: { in: ['quantity', 'no-offer'] }, supplierId, partId }
      : { kind, supplierId }
  await tx.orderPlanChoice.updateMany({
    where: { ...same, undoneAt: null },
    data: { undoneAt: now, undoneById: personId },
  })
  await tx.orderPlanChoice.create({ data: { ...choice, personId, setAt: now } })
}

/** So much of an offer is ordered in any case, and no more; 0 refuses the offer. Refuses with 'input/invalid' what is not sold so. */
export function planQuantitySet(
  context: WriteContext,
  input: { supplierId: number; partId: number; amount: number },
): Promise<{ runId: number }> {
  const { supplierId, partId, amount } = input
  return handWrite(context, 'buying.plan-quantity', input, async (tx) => {
    const offer = await tx.offer.findUnique({
      where: { supplierId_partId: { supplierId, partId } },
      include: { part: true, supplier: true },
    })
    if (!offer || offer.withdrawnAt !== null) {
      const supplier = await tx.supplier.findUnique({ where: { id: supplierId } })
      throw new Refusal('buying/no-offer', { supplier: supplier?.name ?? supplierId, part: partId })
    }
    const unit = offer.part.unit as StockUnit
    if (amount > 0 && !isSoldSo(offer, amount)) {
      const sold = soldIn(offer, unit)
      throw new Refusal(
        'input/invalid',
        { what: `${offer.part.number} is sold ${sold}; ${quantityFormat(amount, unit)} entered` },
        { fields: { quantity: `sold ${sold}` } },
      )
    }
    const choice = amount === 0 ? { kind: 'no-offer' as const, amount: null } : { kind: 'quantity' as const, amount }
    await choiceSet(tx, context, { ...choice, supplierId, partId })
  })
}

/** An offer, or a supplier with all it offers, is not to be used. */
export function planRefuse(
  context: WriteContext,
  input: { supplierId: number; partId: number | null },
): Promise<{ runId: number }> {
  return handWrite(context, 'buying.plan-refuse', input, (tx) =>
    choiceSet(tx, context, { kind: input.partId === null ? 'no-supplier' : 'no-offer', amount: null, ...input }),
  )
}

/** Goods and carriage of the plan may not cost more. */
export function planBudgetSet(context: WriteContext, input: { amount: number }): Promise<{ runId: number }> {
  return handWrite(context, 'buying.plan-budget', input, (tx) =>
    choiceSet(tx, context, { kind: 'budget', supplierId: null, partId: null, ...input }),
  )
}

/** Winter plans do not count in the order plan until that is undone; said twice it is said once. */
export function planWinterLeave(context: WriteContext, input: Record<string, never>): Promise<{ runId: number }> {
  return handWrite(context, 'buying.plan-no-winter', input, (tx) =>
    choiceSet(tx, context, { kind: 'no-winter', supplierId: null, partId: null, amount: null }),
  )
}

/** Takes back something that was set by hand. It stays written with who set and who undid it. Refuses with 'plan/no-choice'. */
export function planChoiceUndo(context: WriteContext, input: { choiceId: number }): Promise<{ runId: number }> {
  return handWrite(context, 'buying.plan-undo', input, async (tx) => {
    const { count } = await tx.orderPlanChoice.updateMany({
      where: { id: input.choiceId, undoneAt: null },
      data: { undoneAt: context.now, undoneById: context.personId },
    })
    if (count === 0) throw new Refusal('plan/no-choice')
  })
}
