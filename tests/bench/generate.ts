import { createClient } from '@libsql/client'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { partFound } from '../../lib/catalogue/part-search.ts'
import { randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { jobsMake } from './generate-jobs.ts'
import { partsShelve, type Shelved } from './generate-shelf.ts'
import { type Sink, sinkOpen } from './sink.ts'
import { instant, LINES_PER_FIGURE, type PartRow, type Sizes, sizesAt } from './sizes.ts'
import { ASSEMBLIES, MAKERS, NOUNS, QUALITIES } from './words.ts'

export interface Generated {
  sizes: Sizes
  parts: PartRow[]
  shelved: Shelved
  personId: string
}

const PERSON = 'bench-person'
/** Fills a migrated database file with a parts book, a shelf and a ledger of the given scale; the same every time. */
export async function generate(databaseFile: string, scale: number): Promise<Generated> {
  const sizes = sizesAt(scale)
  const client = createClient({ url: `file:${databaseFile}` })
  const sink = await sinkOpen(client)
  try {
    await sink.add('Person', {
      id: PERSON,
      name: 'Ada Quill',
      nameKey: nameKey('Ada Quill'),
      secretHash: 'none',
      active: 1,
      createdAt: instant(0),
    })
    const parts = await partsMake(sink, sizes.parts)
    const listed = await bookMake(sink, sizes)
    const shelved = await partsShelve(sink, sizes, PERSON)
    await jobsMake(sink, sizes, { personId: PERSON, parts, listed })
    await sink.done()
    await client.execute('ANALYZE')
    await client.execute('PRAGMA wal_checkpoint(TRUNCATE)')
    return { sizes, parts, shelved, personId: PERSON }
  } finally {
    client.close()
  }
}

async function partsMake(sink: Sink, count: number): Promise<PartRow[]> {
  const random = randomSeeded('bench parts')
  const parts: PartRow[] = []
  for (let id = 1; id <= count; id++) {
    const maker = randomPick(random, MAKERS)
    const [noun, partClass] = randomPick(random, NOUNS)
    // The running number stands in the middle, so that beginnings of numbers are shared by many parts, as a maker's are.
    const number = `${maker.slice(0, 2).toUpperCase()}${randomInteger(random, 10, 99)}-${String(id).padStart(6, '0')}.${randomInteger(random, 0, 9)}`
    const description = `${noun} ${randomPick(random, QUALITIES)} ${randomInteger(random, 2, 120)} x ${randomInteger(random, 4, 300)}`
    parts.push({ id, number, description })
    await sink.add('Part', {
      id,
      maker,
      number,
      description,
      partClass,
      unit: 'each',
      facts: '{}',
      criticality: 'essential',
      costMinor: randomInteger(random, 20, 40_000),
      ...partFound({ number, maker, description }),
    })
  }
  return parts
}

/** Models, their figures, and on each figure callouts, parts list lines and the strip order; answers the part of each line, by its id. */
async function bookMake(sink: Sink, sizes: Sizes): Promise<Int32Array> {
  const listed = new Int32Array(sizes.lines + 1)
  const random = randomSeeded('bench book')
  for (let id = 1; id <= sizes.models; id++) {
    const maker = randomPick(random, MAKERS)
    await sink.add('MachineModel', { id, maker, name: `Type ${id}`, key: `bench${id}`, kind: 'tipping trailer' })
  }
  await sink.add('Picture', {
    id: 'bench-picture',
    mediaType: 'image/svg+xml',
    extension: 'svg',
    width: 1600,
    height: 1200,
    bytes: 60_000,
    createdAt: instant(0),
  })
  for (let id = 1; id <= sizes.figures; id++) {
    await sink.add('Figure', {
      id,
      title: `${randomPick(random, ASSEMBLIES)} ${id}`,
      pictureId: 'bench-picture',
      width: 1600,
      height: 1200,
      positions: '[{"code":"LH","label":"left"},{"code":"RH","label":"right"}]',
      tests: '[]',
      createdAt: instant(0),
    })
    await sink.add('FigureOfModel', {
      modelId: 1 + ((id - 1) % sizes.models),
      figureId: id,
      number: `${1 + Math.floor((id - 1) / sizes.models)}-${id}`,
      numberKey: `f${id}`,
    })
    for (let at = 1; at <= LINES_PER_FIGURE; at++) {
      const [x, y] = [randomInteger(random, 40, 1560), randomInteger(random, 40, 1160)]
      const tips = JSON.stringify([{ x: x - 30, y: y + 45 }])
      await sink.add('Callout', { figureId: id, item: String(at), x, y, tips })
      const broken = randomChance(random, 0.1)
      const lineId = (id - 1) * LINES_PER_FIGURE + at
      listed[lineId] = randomInteger(random, 1, sizes.parts)
      await sink.add('PartsListLine', {
        id: lineId,
        figureId: id,
        sort: at,
        item: String(at),
        partId: listed[lineId]!,
        description: randomPick(random, NOUNS)[0],
        quantity: randomInteger(random, 1, 8),
        indenture: at % 5 === 0 ? 2 : 1,
        serialFrom: broken ? 'A500' : null,
        serialTo: null,
        facts: at % 4 === 0 ? '{"singleUse":true}' : '{}',
      })
      if (at > 1) await sink.add('StripEdge', { figureId: id, firstItem: String(at - 1), thenItem: String(at) })
    }
  }
  return listed
}
