import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { importS1000dCommand } from '../../lib/cli/import-s1000d.ts'
import { database } from '../../lib/db/client.ts'
import { s1000dRead } from '../../lib/exchange/s1000d.ts'
import { svgHotspots } from '../../lib/exchange/svg-hotspots.ts'
import { pathPoints, transformMatrix } from '../../lib/geometry/svg-box.ts'
import { useWorkshop } from '../support/database.ts'
import { DRAWING, dataModule } from './data-module.ts'

const workshop = useWorkshop()

function folder(name: string, files: Record<string, string | Uint8Array>): string {
  const path = join(workshop.folder, name)
  mkdirSync(path)
  for (const [file, content] of Object.entries(files)) writeFileSync(join(path, file), content)
  return path
}

describe('illustrated parts data of S1000D', () => {
  it.each(['itemSequenceNumber', 'itemSeqNumber'] as const)('a module with %s is read', (sequence) => {
    const module = s1000dRead(dataModule(sequence), 'DMC-QTR.XML')
    expect(module).toMatchObject({
      model: 'QTR',
      number: '32-10-01-02A',
      title: 'Hub with brake',
      company: 'Thornley & Pike',
    })
    expect(module.lines).toMatchObject([
      { item: '0', partNumber: 'QX-100', quantity: 'REF', indenture: 0 },
      { item: '1', maker: 'QX001', description: 'HUB', quantity: '1', indenture: 1, hotspotRefs: ['hot-1'] },
      { item: '2', isAttaching: true, applicRefs: ['app-old'] },
      { item: '3A', quantity: 'AR', indenture: 2, applicRefs: ['app-wet'] },
    ])
  })

  it('comes into the parts book with its drawing: a hot-spot lies in the middle of the element it names', async () => {
    const path = folder('whole', { 'DMC-QTR-A.XML': dataModule(), 'ICN-QTR-32-00001_001-01.svg': DRAWING })
    const rehearsed = await importS1000dCommand(path, { dryRun: true })
    expect(rehearsed.text).toContain('rehearsed')
    expect(await database().figure.count()).toBe(0)
    const { text } = await importS1000dCommand(path, { model: 'Quillbeck tipper' })
    expect(text).toContain('hot-spots without a place in the drawing or an item in the list: 9')
    const figure = await database().figure.findFirstOrThrow({
      include: {
        callouts: { orderBy: { id: 'asc' } },
        lines: { orderBy: { sort: 'asc' }, include: { part: true } },
        models: { include: { model: true } },
      },
    })
    expect(figure.models).toMatchObject([
      { number: '32-10-01-02A', model: { maker: 'Thornley & Pike', name: 'Quillbeck tipper' } },
    ])
    expect(figure.callouts.map(({ item, x, y }) => [item, x, y])).toEqual([
      // The view box begins at 100, 50: the circle at 150, 100 lies at 50, 50.
      ['1', 50, 50],
      // 200 + 2 x (10 to 20) and 100 + 2 x (20 to 24), less the corner.
      ['2', 130, 94],
      ['3A', 210, 155],
    ])
    expect(figure.lines).toMatchObject([
      { item: '0', indenture: 0, quantity: 1, quantityNote: 'REF' },
      { item: '1', part: { maker: 'QX001', number: 'QX-101' } },
      { item: '2', attaches: '1', quantity: 4, serialFrom: '1000', serialTo: '1499', note: null },
      { item: '3A', quantityNote: 'AR', note: 'For machines with oil brakes' },
    ])
  })

  it('a scan is kept with its list and without callouts', async () => {
    const scan = await sharp({ create: { width: 60, height: 40, channels: 3, background: '#fff' } })
      .png()
      .toBuffer()
    const path = folder('scan', { 'DMC-QTR-B.XML': dataModule(), 'ICN-QTR-32-00001.PNG': scan })
    const { text } = await importS1000dCommand(path, { model: 'Scanned one' })
    expect(text).toContain('lines: 4; callouts: 0')
    expect(text).toContain('a scan without places')
  })

  it.each([
    ['cgm', { 'a.xml': dataModule(), 'ICN-QTR-32-00001.cgm': 'x' }, /is CGM, which is not read/],
    ['lost', { 'a.xml': dataModule() }, /not beside it/],
    [
      'entities',
      { 'a.xml': dataModule('itemSequenceNumber', '<!DOCTYPE dmodule [<!ENTITY a SYSTEM "file:///etc/passwd">]>') },
      /document type/,
    ],
    ['procedure', { 'a.xml': '<dmodule><content><procedure/></content></dmodule>' }, /no illustrated parts data/],
    ['torn', { 'a.xml': dataModule().slice(0, 900) }, /not whole/],
    ['empty', { 'readme.txt': '' }, /no XML file/],
  ])('%s: refused with what to do, and nothing is kept', async (name, files, words) => {
    const before = await database().figure.count()
    await expect(importS1000dCommand(folder(name, files), {})).rejects.toThrow(words)
    expect(await database().figure.count()).toBe(before)
  })
})

describe('boxes of drawn elements', () => {
  it('transforms are worked from the outermost in (SVG 1.1, 7.5 and 7.6)', () => {
    const matrix = transformMatrix('translate(10,20) rotate(90) scale(2)')
    // The point 1, 0: scaled 2, 0; turned 0, 2; moved 10, 22.
    expect(matrix.map((value) => Math.round(value * 1000) / 1000)).toEqual([0, 2, -2, 0, 10, 20])
    expect(transformMatrix('rotate(180 5 5)').map((value) => Math.round(value) + 0)).toEqual([-1, 0, 0, -1, 10, 10])
  })

  it('relative commands of a path go on from where the pen is', () => {
    const points = pathPoints('M10 10l5,5-2-3h4v-6C1 2 3 4 5 6z')
    expect(points).toContainEqual({ x: 15, y: 15 })
    expect(points).toContainEqual({ x: 13, y: 12 })
    expect(points).toContainEqual({ x: 17, y: 6 })
    expect(points).toContainEqual({ x: 3, y: 4 })
  })

  it('an id without a drawn element has no box', () => {
    expect(
      svgHotspots(
        '<svg><g id="a"/><rect id="b" x="1" y="2" width="3" height="4"/></svg>',
        new Set(['a', 'b', 'c']),
        'x.svg',
      ),
    ).toEqual(new Map([['b', { left: 1, top: 2, right: 4, bottom: 6 }]]))
  })
})
