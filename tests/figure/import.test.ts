import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { type FigureToImport, figureImport, figureRehearse } from '../../lib/db/figure-import.ts'
import { partSearchIds } from '../../lib/db/part-search.ts'
import { pictureFile, pictureForsake } from '../../lib/db/picture.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { hub, hubsMade, picturesIn, refusalOf, rowsOf } from '../exchange/hub-figure.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()
const pictures = () => picturesIn(workshop.folder)
const rows = () => rowsOf(workshop.folder)

describe('a figure brought into the parts book', () => {
  it('is there with all it holds', async () => {
    const writer = asWriter(await aPerson('Nell Farrow'))
    const sent = hub()
    const done = await figureImport(writer, sent)
    expect(done).toMatchObject({
      made: { parts: 3, lines: 3, callouts: 2, leaderEnds: 3, stripSteps: 1 },
      partsKnown: 0,
    })
    expect(done.warnings).toEqual(['item 3: no callout points to it; it is in the list only'])
    const figure = await database().figure.findUniqueOrThrow({
      where: { id: done.figureId },
      include: {
        callouts: true,
        stripEdges: true,
        lines: { include: { part: true }, orderBy: { sort: 'asc' } },
        models: { include: { model: true } },
      },
    })
    expect(figure).toMatchObject({
      title: 'Hub and drum brake',
      width: 1200,
      height: 800,
      credit: 'Drawn for the estate',
    })
    expect(figure.models[0]).toMatchObject({ number: sent.file.number, model: { name: 'TB6', key: 'thornleypiketb6' } })
    expect(JSON.parse(figure.tests)).toEqual(['Wheel turns freely'])
    expect(figure.callouts.map(({ item, x, y, tips }) => [item, x, y, JSON.parse(tips)])).toEqual([
      [
        '1',
        100.5,
        120,
        [
          { x: 210, y: 230 },
          { x: 211, y: 233 },
        ],
      ],
      ['2', 310, 140, [{ x: 330, y: 250 }]],
    ])
    expect(
      figure.lines.map(({ item, quantity, attaches, serialFrom, part }) => [
        item,
        quantity,
        attaches,
        serialFrom,
        part.number,
        part.unit,
      ]),
    ).toEqual([
      ['1', 2, '2', null, sent.file.lines[0]!.partNumber, 'each'],
      ['2', 1, null, null, sent.file.lines[1]!.partNumber, 'each'],
      ['3', 45, null, '1500', `${sent.file.number}-3`, 'kilogram'],
    ])
    expect(figure.stripEdges).toMatchObject([{ firstItem: '1', thenItem: '2' }])
    expect(pictures()).toContain(`${done.pictureId}.svg`)
    expect(await pictureFile(done.pictureId)).toMatchObject({ mediaType: 'image/svg+xml' })
    // What people type finds it: part number without its dash, and words of the description.
    const found = await database().$queryRaw<
      unknown[]
    >`SELECT rowid FROM part_fts WHERE part_fts MATCH ${`"tp1${hubsMade()}" AND "split pin"`}`
    expect(found).toHaveLength(1)
  })

  it('is found under the other name of the trade', async () => {
    const lines = [{ item: '1', partNumber: 'ÜX-31', description: 'Split pins', quantity: 4 }]
    const model = { maker: 'Böllmann Wagen', name: 'K1' }
    await figureImport(asWriter('nell'), hub({ model, lines, callouts: [], stripOrder: [] }))
    const { id } = await database().part.findFirstOrThrow({ where: { numberKey: 'ux31' } })
    // Cotter pin (US) is split pin (UK): common practice, no source.
    for (const typed of ['ux-31', 'ux31', 'bollmann wagen', 'split pins', 'bollmann cotter pin'])
      expect(await partSearchIds(typed, 20), typed).toContain(id)
  })

  it('sent twice with one key is brought in once', async () => {
    const [writer, sent] = [asWriter('nell'), hub()]
    const first = await figureImport(writer, sent)
    const before = await rows()
    expect(await figureImport(writer, sent)).toEqual(first)
    expect(await rows()).toEqual(before)
  })

  it('brought a second time is refused, and its picture stays', async () => {
    const sent = hub({ number: '7-01' })
    const first = await figureImport(asWriter('nell'), sent)
    const before = await rows()
    const again = { ...sent, file: { ...sent.file, number: ' 7/01 ' } }
    const refusal = await refusalOf(figureImport(asWriter('nell'), again))
    expect(refusal.code).toBe('figure/exists')
    expect(refusal.happened).toBe('Figure 7/01 of Thornley & Pike TB6 is already in the parts book.')
    expect(await rows()).toEqual(before)
    expect(await pictureFile(first.pictureId)).not.toBeNull()
  })

  it('finds the parts it shares with the catalogue and keeps both wordings', async () => {
    const known = await aPart({ number: 'XK 77', maker: 'Thornley and Pike', description: 'Seal' })
    const same = await aPart({ number: 'XK-77', maker: 'Thornley & Pike', description: 'Oil seal 35x52x7' })
    const lines = [{ item: '1', partNumber: 'xk77', description: 'Seal, hub', quantity: 1 }]
    const done = await figureImport(asWriter('nell'), hub({ lines, callouts: [], stripOrder: [] }))
    const [line] = await database().partsListLine.findMany({
      where: { figureId: done.figureId },
      include: { part: true },
    })
    expect(line).toMatchObject({ partId: same, description: 'Seal, hub', part: { description: 'Oil seal 35x52x7' } })
    expect(line!.partId).not.toBe(known)
    expect(done).toMatchObject({ made: { parts: 0 }, partsKnown: 1 })
    expect(done.warnings.at(-1)).toBe(
      'line 1 (item 1): Thornley & Pike xk77 is known as "Oil seal 35x52x7"; the line keeps "Seal, hub"',
    )
  })

  it('gives lines without a number one of their own, never one that another part has', async () => {
    await aPart({ number: '90213', maker: 'Thornley & Pike' })
    const lines = [
      { item: '13', description: 'Clip, old', quantity: 1, serialTo: '99' },
      { item: '13', description: 'Clip, new', quantity: 1, serialFrom: '100' },
      { item: '5', partNumber: '902-13-2', description: 'Stud', quantity: 1 },
    ]
    const done = await figureImport(asWriter('nell'), hub({ number: '902', lines, callouts: [], stripOrder: [] }))
    const found = await database().partsListLine.findMany({
      where: { figureId: done.figureId },
      orderBy: { sort: 'asc' },
      include: { part: true },
    })
    expect(found.map((line) => line.part.number)).toEqual(['902-13-3', '902-13-4', '902-13-2'])
  })

  it('keeps a scan upright with callouts in its pixels', async () => {
    const bytes = await sharp({ create: { width: 300, height: 200, channels: 3, background: '#fff' } })
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer()
    const picture = { file: 'scan.jpg', width: 200, height: 300 }
    const callouts = [{ item: '1', x: 150, y: 290, tips: [] }]
    const done = await figureImport(asWriter('nell'), {
      ...hub({ picture, callouts }),
      picture: { bytes, name: 'scan.jpg' },
    })
    expect(await database().figure.findUniqueOrThrow({ where: { id: done.figureId } })).toMatchObject({
      width: 200,
      height: 300,
    })
  })
})

describe('a refused figure leaves nothing', () => {
  const svg = (inner: string) =>
    new Uint8Array(Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1200 800">${inner}</svg>`))
  const cases: [string, () => FigureToImport | Promise<FigureToImport>, string, RegExp][] = [
    ['a fault in the file', () => hub({ title: '' }), 'import/refused', /title: is empty/],
    [
      'an unsafe drawing',
      () => ({ ...hub(), picture: { name: 'a.svg', bytes: svg('<script/>') } }),
      'picture/unsafe',
      /^element script$/,
    ],
    [
      'a picture that lies',
      () => ({ ...hub(), picture: { name: 'a.png', bytes: svg('') } }),
      'picture/wrong-type',
      /^$/,
    ],
    ['a broken picture', () => ({ ...hub(), picture: { name: 'a.svg', bytes: svg('<g>') } }), 'picture/broken', /^$/],
    [
      'a picture of another size',
      () => hub({ picture: { file: 'hub.svg', width: 1241, height: 800 } }),
      'import/refused',
      /picture, width and height: the file says 1241 x 800, the picture is 1200 x 800/,
    ],
    [
      'a part kept by another unit',
      async () => {
        await aPart({ number: `OIL-${hubsMade()}`, maker: 'Thornley & Pike', unit: 'litre' })
        return hub({
          lines: [{ item: '4', partNumber: `oil ${hubsMade()}`, description: 'Gear oil', quantity: 1 }],
          callouts: [],
          stripOrder: [],
        })
      },
      'import/refused',
      /line 1 \(item 4\), unit: oil \d+ is kept by litre, the file says each/,
    ],
  ]
  it.each(cases)('%s', async (_, make, code, fault) => {
    const sent = await make()
    const before = await rows()
    const refusal = await refusalOf(figureImport(asWriter('nell'), sent))
    expect(refusal.code).toBe(code)
    expect(refusal.faults.join('\n')).toMatch(fault)
    expect(await rows()).toEqual(before)
  })

  it('and a fault half way through the writing takes the picture back too', async () => {
    const sent = hub()
    const before = await rows()
    await inTransaction(
      (tx) =>
        tx.$executeRaw`CREATE TRIGGER trip BEFORE INSERT ON "StripEdge" BEGIN SELECT RAISE(ABORT, 'tripped'); END`,
    )
    try {
      await expect(figureImport(asWriter('nell'), sent)).rejects.toThrow(/stripEdge/)
    } finally {
      await inTransaction((tx) => tx.$executeRaw`DROP TRIGGER trip`)
    }
    expect(await rows()).toEqual(before)
    await figureImport(asWriter('nell'), sent)
  })

  it('while another figure with the same drawing comes in, and that one keeps its picture', async () => {
    for (let round = 0; round < 6; round++) {
      const good = hub()
      await aPart({ number: `RIM-${hubsMade()}`, maker: 'Thornley & Pike', unit: 'metre' })
      const lines = [{ item: '1', partNumber: `RIM-${hubsMade()}`, description: 'Rim', quantity: 1 }]
      const bad = { ...hub({ lines, callouts: [], stripOrder: [] }), picture: good.picture }
      const order = round % 2 === 0 ? [good, bad] : [bad, good]
      const outcomes = await Promise.allSettled(order.map((sent) => figureImport(asWriter('nell'), sent)))
      expect(outcomes.map((outcome) => outcome.status).sort()).toEqual(['fulfilled', 'rejected'])
      const { value } = outcomes.find((outcome) => outcome.status === 'fulfilled')!
      expect(await pictureFile(value.pictureId)).not.toBeNull()
    }
  })

  it('and of four people who bring the same figure at once one has it, three hear so', async () => {
    const sent = hub()
    const before = await rows()
    const outcomes = await Promise.allSettled([1, 2, 3, 4].map(() => figureImport(asWriter('nell'), sent)))
    const refused = outcomes.flatMap((outcome) => (outcome.status === 'rejected' ? [outcome.reason as unknown] : []))
    expect(refused.map((error) => isRefusal(error) && error.code)).toEqual([
      'figure/exists',
      'figure/exists',
      'figure/exists',
    ])
    expect(await rows()).toMatchObject({
      figure: before.figure! + 1,
      pictures: before.pictures! + 1,
      part: before.part! + 3,
    })
  })

  it('and a picture that a figure shows is never taken back', async () => {
    const { pictureId } = await figureImport(asWriter('nell'), hub())
    await pictureForsake({ id: pictureId, extension: 'svg' })
    expect(await pictureFile(pictureId)).not.toBeNull()
    expect(await pictureFile('../../etc/passwd')).toBeNull()
  })
})

describe('a long parts list', () => {
  it.each([true, false])('of 5000 lines comes in as one transaction (numbers printed: %s)', async (printed) => {
    const lines = Array.from({ length: 5000 }, (_, i) => ({
      item: String(i + 1),
      description: `Bolt ${i}`,
      quantity: 1,
      ...(printed ? { partNumber: `LONG-${i}` } : {}),
    }))
    const done = await figureImport(asWriter('nell'), hub({ lines, callouts: [], stripOrder: [] }))
    expect(done.made).toMatchObject({ lines: 5000, parts: 5000 })
  })
})

describe('a rehearsal', () => {
  it('answers what would be made and leaves nothing', async () => {
    const sent = hub()
    const before = await rows()
    const rehearsed = await figureRehearse(asWriter('nell'), sent)
    expect(rehearsed.made).toMatchObject({ parts: 3, lines: 3, callouts: 2 })
    expect(rehearsed).not.toHaveProperty('figureId')
    expect(await rows()).toEqual(before)
    expect((await figureImport(asWriter('nell'), sent)).made).toEqual(rehearsed.made)
  })

  it('meets the same refusals', async () => {
    const sent = hub()
    await figureImport(asWriter('nell'), sent)
    const before = await rows()
    expect((await refusalOf(figureRehearse(asWriter('nell'), sent))).code).toBe('figure/exists')
    expect(await rows()).toEqual(before)
  })
})
