import type { StockUnit } from '../measure/quantity.ts'
import { isRefusal, Refusal, type RefusalCode } from '../refusal.ts'
import type { CountSheetInput } from '../stock/schema.ts'
import { database } from './client.ts'
import { stockCount } from './stock.ts'
import type { WriteContext } from './transaction.ts'

export interface CountedLine {
  binId: number
  partId: number
  /** right: the books agree. put-right: a difference was booked. refused: nothing was booked on this line. */
  state: 'right' | 'put-right' | 'refused'
  /** Code of the refusal. */
  code: string | null
  /** What is wrong and what to do, for the line. */
  says: string
}

const NO_QUANTITY = 'this is no quantity of the part; enter what you counted, 0 when there is none'
const OVERTAKEN = 'somebody took or put away here since you began; count this line once more, then save again'
const DIFFERS = 'the books say otherwise: count it once more, then say why it differs'

const BLIND: Partial<Record<RefusalCode, string>> = { 'stock/moved-since': OVERTAKEN, 'stock/no-reason': DIFFERS }

/**
 * Books a count sheet line by line: each line is a movement of its own under a key of its own, so that one bin somebody took from
 * meanwhile holds up no other, and a sheet sent twice books nothing twice. What was refused comes back on its line.
 */
export async function countSheetSave(context: WriteContext, lines: CountSheetInput): Promise<CountedLine[]> {
  const counted: CountedLine[] = []
  for (const { counted: quantity, ...line } of lines) {
    const { binId, partId } = line
    const refused = (code: string, says: string) => counted.push({ binId, partId, state: 'refused', code, says })
    if (quantity === null) {
      refused('input/invalid', NO_QUANTITY)
      continue
    }
    try {
      const key = `${context.key}.${binId}.${partId}`
      const { movementId } = await stockCount({ ...context, key }, { ...line, counted: quantity })
      counted.push({ binId, partId, state: movementId === null ? 'right' : 'put-right', code: null, says: '' })
    } catch (error) {
      if (!isRefusal(error)) throw error
      // Blind counting: what the books say is not told before the count is booked.
      refused(error.code, BLIND[error.code] ?? `${error.happened} ${error.next}`)
    }
  }
  return counted
}

export interface SheetLine {
  partId: number
  number: string
  description: string
  unit: StockUnit
  /** What the books say as counting begins; it goes along with the form and is not shown. */
  expected: number
}

export interface SheetBin {
  id: number
  code: string
  lines: SheetLine[]
}

export interface CountSheet {
  store: { id: number; name: string }
  bins: SheetBin[]
  /** Place of the first bin of the next sheet in the walk; null on the last one. */
  next: number | null
}

/** A sheet ends with the bin in which it comes to so many lines: it is carried along and saved in one go. */
const WALK_LINES = 60

const withLines = {
  store: true,
  balances: {
    include: { part: { select: { id: true, number: true, numberKey: true, description: true, unit: true } } },
  },
} as const

function sheetBin(bin: {
  id: number
  code: string
  balances: {
    quantity: number
    part: { id: number; number: string; numberKey: string; description: string; unit: string }
  }[]
}): SheetBin {
  const lines = bin.balances
    .sort((a, b) => (a.part.numberKey < b.part.numberKey ? -1 : 1))
    .map(({ quantity, part: { id, number, description, unit } }) => ({
      partId: id,
      number,
      description,
      unit: unit as StockUnit,
      expected: quantity,
    }))
  return { id: bin.id, code: bin.code, lines }
}

/** The sheet of one bin, of everything that lies or lay there. Refuses with 'stock/unknown-bin'. */
export async function countSheetOfBin(binId: number): Promise<CountSheet> {
  const bin = await database().bin.findUnique({ where: { id: binId }, include: withLines })
  if (!bin) throw new Refusal('stock/unknown-bin', { bin: binId })
  return { store: { id: bin.store.id, name: bin.store.name }, bins: [sheetBin(bin)], next: null }
}

/** A part of the walk through a store, from the bin at place `from` on; bins in which nothing ever lay are passed by. */
export async function countSheetOfStore(storeId: number, from: number): Promise<CountSheet | null> {
  const store = await database().store.findUnique({ where: { id: storeId } })
  if (!store) return null
  const rows = await database().bin.findMany({
    where: { storeId, balances: { some: {} }, closedAt: null, kind: { not: 'on-the-way' } },
    include: withLines,
    orderBy: [{ walkOrder: 'asc' }, { id: 'asc' }],
    skip: from,
    take: WALK_LINES + 1,
  })
  const bins: SheetBin[] = []
  let lines = 0
  for (const row of rows) {
    if (lines >= WALK_LINES) break
    const bin = sheetBin(row)
    bins.push(bin)
    lines += bin.lines.length
  }
  return {
    store: { id: store.id, name: store.name },
    bins,
    next: bins.length < rows.length ? from + bins.length : null,
  }
}
