import { createClient } from '@libsql/client'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { partFound } from '../../lib/catalogue/part-search.ts'
import { type Random, randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { EMPTY_POOL, movementValue, type Pool, pooled } from '../../lib/value/moving-average.ts'
import { type Sink, sinkOpen } from './sink.ts'
import { DAYS, instant } from './sizes.ts'

export const LEDGER_PERSON = 'bench-person'
const STORES = ['Long barn', 'Cold store', 'Van one', 'Van two']
const CLASSES = ['brake-shoe', 'filter', 'bearing', 'gasket', 'hose', 'chain', 'bolt', 'other'] as const
const BINS = 600

interface Line {
  kind: string
  quantity: number
  binId: number
  costMinor: number | null
  reverses?: { id: number; valueMinor: number }
}

/** The shelf of one part while its ledger is made. */
class Pile {
  readonly bins: readonly [number, number]
  readonly held = new Map<number, number>()
  pool: Pool = EMPTY_POOL
  costMinor: number
  last: { id: number; quantity: number; binId: number; costMinor: number | null; valueMinor: number } | null = null

  constructor(partId: number, random: Random) {
    this.bins = [1 + (partId % BINS), 1 + ((partId * 7 + 311) % BINS)]
    this.costMinor = randomInteger(random, 40, 90_000)
  }

  in(binId: number): number {
    return this.held.get(binId) ?? 0
  }
}

/** What happens next to a part: mostly takings, a delivery when the bin is empty, now and then anything else. */
function next(random: Random, pile: Pile): Line[] {
  const binId = randomChance(random, 0.75) ? pile.bins[0] : pile.bins[1]
  const other = binId === pile.bins[0] ? pile.bins[1] : pile.bins[0]
  const held = pile.in(binId)
  const dice = random()
  if (held === 0 || dice < 0.06) {
    pile.costMinor = Math.max(1, Math.round(pile.costMinor * (0.96 + 0.09 * random())))
    return [{ kind: 'receive', quantity: randomInteger(random, 8, 40), binId, costMinor: pile.costMinor }]
  }
  const some = Math.min(held, randomInteger(random, 1, 4))
  const { last, costMinor } = pile
  if (dice < 0.1 && other !== binId)
    return [
      { kind: 'transfer-out', quantity: -some, binId, costMinor },
      { kind: 'transfer-in', quantity: some, binId: other, costMinor },
    ]
  if (dice < 0.13) return [{ kind: 'count-difference', quantity: randomChance(random, 0.4) ? 1 : -1, binId, costMinor }]
  if (dice < 0.14) return [{ kind: 'scrap', quantity: -some, binId, costMinor }]
  if (dice < 0.17) return [{ kind: 'return', quantity: 1, binId, costMinor }]
  if (dice < 0.19 && last && pile.in(last.binId) >= last.quantity) {
    pile.last = null
    return [
      {
        kind: 'reversal',
        quantity: -last.quantity,
        binId: last.binId,
        costMinor: last.costMinor,
        reverses: { id: last.id, valueMinor: last.valueMinor },
      },
    ]
  }
  return [{ kind: 'issue', quantity: -some, binId, costMinor }]
}

/** A migrated database file filled with a shelf and a ledger of so many lines, every kind of movement in it; the same every time. */
export async function ledgerGenerate(databaseFile: string, movements: number, parts: number): Promise<void> {
  const client = createClient({ url: `file:${databaseFile}` })
  const sink = await sinkOpen(client)
  const random = randomSeeded('bench ledger of its own')
  try {
    await placesMake(sink)
    for (let id = 1; id <= parts; id++) await partMake(sink, id)
    const piles = new Map<number, Pile>()
    const movers = Math.ceil(parts / 5)
    let id = 1
    while (id <= movements) {
      const partId = randomInteger(random, 1, randomChance(random, 0.8) ? movers : parts)
      const pile = piles.get(partId) ?? new Pile(partId, random)
      piles.set(partId, pile)
      const at = instant((id / movements) * DAYS)
      const writeKey = `bench-ledger-${id}`
      for (const [writeLine, line] of next(random, pile).entries()) {
        await lineAdd(sink, { id, partId, at, writeKey, writeLine }, pile, line)
        id += 1
      }
      await sink.add('Write', {
        key: writeKey,
        kind: 'stock.issue',
        contentHash: String(id).padStart(64, '0'),
        answer: '{"movements":[]}',
        personId: LEDGER_PERSON,
        at,
      })
    }
    for (const [partId, pile] of piles) {
      await sink.add('PartValue', { partId, ...pile.pool })
      for (const [binId, quantity] of pile.held) await sink.add('Balance', { partId, binId, quantity })
    }
    await sink.done()
    await client.execute('ANALYZE')
    await client.execute('PRAGMA wal_checkpoint(TRUNCATE)')
  } finally {
    client.close()
  }
}

async function lineAdd(
  sink: Sink,
  head: { id: number; partId: number; at: string; writeKey: string; writeLine: number },
  pile: Pile,
  { kind, quantity, binId, costMinor, reverses }: Line,
): Promise<void> {
  const fact = { kind, quantity, costMinor, reversedMinor: reverses?.valueMinor ?? null }
  const valueMinor = movementValue(pile.pool, fact, 1)
  pile.pool = pooled(pile.pool, kind, quantity, valueMinor)
  const balanceAfter = pile.in(binId) + quantity
  pile.held.set(binId, balanceAfter)
  if (kind === 'issue' || kind === 'receive') pile.last = { id: head.id, quantity, binId, costMinor, valueMinor }
  await sink.add('Movement', {
    ...head,
    kind,
    binId,
    quantity,
    balanceAfter,
    costMinor,
    valueMinor,
    reversesId: reverses?.id ?? null,
    reason: 'yard use',
    personId: LEDGER_PERSON,
  })
}

async function placesMake(sink: Sink): Promise<void> {
  const name = 'Ada Quill'
  await sink.add('Person', {
    id: LEDGER_PERSON,
    name,
    nameKey: nameKey(name),
    secretHash: 'none',
    active: 1,
    createdAt: instant(0),
  })
  for (const [at, store] of STORES.entries())
    await sink.add('Store', { id: at + 1, name: store, nameKey: nameKey(store), kind: at < 2 ? 'building' : 'van' })
  for (let id = 1; id <= BINS; id++)
    await sink.add('Bin', {
      id,
      storeId: 1 + (id % STORES.length),
      code: `B-${String(id).padStart(3, '0')}`,
      codeKey: `b${String(id).padStart(3, '0')}`,
      walkOrder: id,
    })
}

async function partMake(sink: Sink, id: number): Promise<void> {
  const random = randomSeeded(`bench ledger part ${id}`)
  const number = `LB-${String(id).padStart(6, '0')}`
  const [maker, description] = ['Thornley & Pike', `Part ${id}`]
  await sink.add('Part', {
    id,
    maker,
    number,
    description,
    partClass: randomPick(random, CLASSES),
    unit: 'each',
    facts: '{}',
    criticality: 'essential',
    costMinor: null,
    ...partFound({ maker, number, description }),
  })
}
