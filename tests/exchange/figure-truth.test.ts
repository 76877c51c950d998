import { describe, expect, it } from 'vitest'
import { figureFolderFiles, pathStaysInside } from '../../lib/exchange/figure-folder.ts'
import { figureFromTruth } from '../../lib/exchange/figure-truth.ts'
import { figureFileCheck } from '../../lib/figure/figure-file.ts'
import { isRefusal } from '../../lib/refusal.ts'

const truth = (change: object = {}) => ({
  figure: 'orchard-sprayer-pump-valve-block',
  title: 'Sprayer pump: valve block',
  machine: 'air-blast sprayer',
  image: { file: 'page.png', width: 1241, height: 1754, dpi: 150, mode: 'colour' },
  callouts: [
    {
      number: '1.1',
      printed: '1.1.',
      x: 200,
      y: 300,
      balloon_radius: 28,
      leader_ends: [
        [250, 350],
        [260, 360],
      ],
    },
    { number: '2', printed: '2', x: 400, y: 500, balloon_radius: 28, leader_ends: [[450, 550]] },
    { number: '2', printed: '2', x: 600, y: 700, balloon_radius: 28, leader_ends: [] },
  ],
  parts_list: {
    header_position: 'bottom',
    fields: ['item', 'quantity', 'description', 'part_number', 'material'],
    rows: [
      { item: '3', description: 'Sealant', part_number: 'QP-9', quantity: 'AR', material: '-' },
      { item: '2', description: 'Valve', part_number: 'QP-7', quantity: '6', material: 'Brass' },
      { item: '1.1', description: 'Spring', quantity: '12' },
      { item: '1', description: 'Block, complete' },
    ],
  },
  ...change,
})

describe('a page read by hand', () => {
  it('becomes a figure file in reading order', () => {
    const { file, warnings } = figureFromTruth(truth(), { maker: 'Thornley & Pike' })
    const read = figureFileCheck(file)
    expect(
      read.file.lines.map(({ item, partNumber, quantity, quantityNote, indenture, note }) => [
        item,
        partNumber,
        quantity,
        quantityNote,
        indenture,
        note,
      ]),
    ).toEqual([
      ['1', undefined, 1, 'not printed', 1, undefined],
      ['1.1', undefined, 12, undefined, 2, undefined],
      ['2', 'QP-7', 6, undefined, 1, 'Brass'],
      ['3', 'QP-9', 1, 'AR', 1, undefined],
    ])
    expect(read.file.model).toEqual({ maker: 'Thornley & Pike', name: 'air-blast sprayer', kind: 'air-blast sprayer' })
    expect(read.file.callouts.map((callout) => [callout.item, callout.tips.length])).toEqual([
      ['1.1', 2],
      ['2', 1],
      ['2', 0],
    ])
    expect(read.file.number).toBe('o-s-pump-valve-block')
    expect(warnings).toEqual([
      'figure orchard-sprayer-pump-valve-block is entered under the shorter number o-s-pump-valve-block',
    ])
  })

  it('keeps number and name as printed where they share a column', () => {
    const rows = [{ item: '2', part_number: 'QP-7 Valve', quantity: '6' }]
    const { file, warnings } = figureFromTruth(
      truth({ parts_list: { fields: ['item', 'part_number', 'quantity'], rows } }),
    )
    expect(file.lines[0]).toMatchObject({ partNumber: 'QP-7 Valve', description: 'QP-7 Valve' })
    expect(warnings).toContain('number and name share a column on this page: both are kept as printed')
  })

  it('carries author, licence and origin', () => {
    const source =
      '# Pump\n\n- Repository: example/pump\n- Licence: CC BY-SA 4.0 (LICENSE in it)\n- Author: Pump project\n'
    expect(figureFromTruth(truth(), { source }).file.credit).toBe('Pump project; CC BY-SA 4.0; example/pump')
    expect(figureFromTruth(truth(), { source: 'nothing said' }).file.credit).toBeUndefined()
  })

  it('that lacks its list is refused with the field', () => {
    expect(() => figureFromTruth({ ...truth(), parts_list: undefined })).toThrow(/import\/unreadable.*parts_list/)
  })
})

describe('files that belong together', () => {
  const json = (content: unknown) => new Uint8Array(Buffer.from(JSON.stringify(content)))
  const given = (files: Record<string, Uint8Array>) => ({
    names: Object.keys(files),
    read: async (name: string) => files[name]!,
  })
  const picture = new Uint8Array([1, 2, 3])

  it('a page read by hand comes with its picture and credit', async () => {
    const SOURCE = new Uint8Array(Buffer.from('- Author: Pump project'))
    const read = await figureFolderFiles(
      given({ 'truth.json': json(truth()), 'page.png': picture, 'SOURCE.md': SOURCE }),
    )
    expect(read.picture).toEqual({ name: 'page.png', bytes: picture })
    expect(read.file).toMatchObject({ credit: 'Pump project', model: { maker: 'unknown maker' } })
  })

  it('a figure file is taken before a page read by hand, and maker and model can be set', async () => {
    const file = { model: { maker: 'a', name: 'b', kind: 'mower' }, picture: { file: 'art/hub.svg' } }
    const files = given({ 'truth.json': json(truth()), 'figure.json': json(file), 'art/hub.svg': picture })
    const read = await figureFolderFiles(files, { maker: 'Thornley & Pike', model: 'TB6' })
    expect(read.name).toBe('figure.json')
    expect(read.file).toMatchObject({ model: { maker: 'Thornley & Pike', name: 'TB6', kind: 'mower' } })
  })

  const folders: [string, Record<string, Uint8Array>, RegExp][] = [
    ['no figure', { 'page.png': picture }, /no figure.json/],
    ['two unnamed figures', { 'a.json': json({}), 'b.json': json({}) }, /several: a.json, b.json/],
    ['broken JSON', { 'figure.json': new Uint8Array(Buffer.from('{"a":')) }, /figure.json cannot be read/],
    ['no UTF-8', { 'figure.json': new Uint8Array([0x22, 0xff, 0x22]) }, /figure.json cannot be read/],
    ['no picture named', { 'figure.json': json({ picture: {} }) }, /does not say picture.file/],
    ['no picture there', { 'figure.json': json({ picture: { file: 'hub.svg' } }) }, /hub.svg is not there/],
    ['a picture above it', { 'figure.json': json({ picture: { file: '../hub.svg' } }) }, /leads out of the folder/],
  ]
  it.each(folders)('a folder with %s is refused', async (_, files, why) => {
    const error = await figureFolderFiles(given(files)).catch((thrown: unknown) => thrown)
    expect(isRefusal(error) && error.code).toBe('import/unreadable')
    expect(isRefusal(error) && error.happened).toMatch(why)
  })

  it.each([
    '/etc/passwd',
    '../a.png',
    'a/../../b.png',
    'C:\\a.png',
    'c:a.png',
    '..\\a.png',
    'a//b',
    './a',
    '',
    'a\0.png',
    'file:a',
  ])('the path %j leads out', (path) => expect(pathStaysInside(path)).toBe(false))
  it.each(['hub.svg', 'art/hub 2.svg', '..hub.svg', 'a..b/c.png'])('the path %j stays inside', (path) =>
    expect(pathStaysInside(path)).toBe(true),
  )
})
