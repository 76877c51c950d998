import { createCanvas, loadImage } from '@napi-rs/canvas'
import bwipjs from 'bwip-js/node'
import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { labelsRead } from '../../lib/db/label.ts'
import { scanResolve } from '../../lib/db/scan.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { gs1CheckDigit } from '../../lib/label/gs1-check.ts'
import { GROUP_SEPARATOR as GS } from '../../lib/label/gs1-element.ts'
import { labelCode } from '../../lib/label/label-code.ts'
import { aBin, aMachine, aPart } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'
import { symbolsRead } from '../support/label-read.ts'

useWorkshop()

// GTIN 09506000134352 is the example number of the GS1 General Specifications, from memory.
const GTIN = '09506000134352'

let bin: number
let part: number
let machine: number

beforeAll(async () => {
  bin = await aBin('A-03')
  part = await aPart({ number: 'TX-2207', description: 'Wiping seal' })
  machine = await aMachine('T-14', 'SN 88-1')
})

const ofSupplier = (partId: number, supplierNumber: string) =>
  inTransaction(async (tx) => {
    const supplier = await tx.supplier.create({
      data: { name: `Hartwell ${supplierNumber}`, nameKey: `hartwell ${supplierNumber}`, leadTimeDays: 5 },
    })
    await tx.offer.create({ data: { supplierId: supplier.id, partId, supplierNumber, priceMinor: 317 } })
  })

describe('a label of ours', () => {
  test('leads to its bin, part or machine', async () => {
    for (const [kind, id] of [
      ['bin', bin],
      ['part', part],
      ['machine', machine],
    ] as const) {
      const answer = await scanResolve(labelCode(kind, id), kind, 2026)
      expect(answer).toMatchObject({ fits: true, thing: { kind, id } })
    }
  })

  test('in the wrong field says what it is', async () => {
    expect(await scanResolve(labelCode('machine', machine), 'bin', 2026)).toMatchObject({
      fits: false,
      thing: { kind: 'machine', lead: 'T-14' },
      says: expect.stringMatching(/^This is machine T-14, .*, not a bin\.$/),
    })
    expect((await scanResolve(labelCode('bin', bin), 'part', 2026)).says).toBe(
      'This is bin A-03 in Long barn, not a part.',
    )
  })

  test('of a bin that was closed, or of another workshop, leads nowhere', async () => {
    const closed = await aBin('Z-09')
    await database().bin.update({ where: { id: closed }, data: { closedAt: new Date('2026-02-01T08:00:00Z') } })
    for (const code of [labelCode('bin', closed), labelCode('part', 999_999)])
      expect(await scanResolve(code, 'any', 2026)).toMatchObject({
        thing: null,
        says: expect.stringContaining('not kept here'),
      })
  })

  test('with a digit read wrong is to be scanned again', async () => {
    const code = labelCode('bin', bin)
    const wrong = code.slice(0, -1) + ((Number(code.at(-1)) + 1) % 10)
    expect(await scanResolve(wrong, 'bin', 2026)).toMatchObject({
      thing: null,
      says: expect.stringContaining('check digits do not fit'),
    })
  })

  test('is printed with what the workshop calls the thing', async () => {
    const of = { ids: [], storeId: null, orderId: null }
    expect(await labelsRead({ ...of, of: 'bin', ids: [bin] })).toEqual([
      { id: bin, kind: 'bin', code: labelCode('bin', bin), lead: 'A-03', lines: ['Long barn'] },
    ])
    expect((await labelsRead({ ...of, of: 'part', ids: [part] }))[0]).toMatchObject({
      lead: 'TX-2207',
      lines: ['Wiping seal', 'Thornley & Pike'],
    })
    const fleet = await labelsRead({ ...of, of: 'machine' })
    expect(fleet.map(({ lead }) => lead)).toContain('T-14')
    expect(fleet.find(({ lead }) => lead === 'T-14')!.lines).toContain('S/N SN 88-1')
    expect(await labelsRead({ ...of, of: 'part' })).toEqual([])
  })
})

describe('a number', () => {
  test('is read as a part, a machine or a bin, what the field is about first', async () => {
    await aBin('TX2207')
    expect((await scanResolve('tx 2207', 'any', 2026)).thing).toMatchObject({ kind: 'part', id: part })
    expect((await scanResolve('TX-2207', 'bin', 2026)).thing).toMatchObject({ kind: 'bin', lead: 'TX2207' })
    expect((await scanResolve('T14', 'any', 2026)).thing).toMatchObject({ kind: 'machine', id: machine })
    expect((await scanResolve('SN88-1', 'machine', 2026)).thing).toMatchObject({ kind: 'machine', id: machine })
  })
  test('of a supplier leads to our part', async () => {
    await ofSupplier(part, 'HW.4711')
    expect(await scanResolve('HW4711', 'part', 2026)).toMatchObject({
      fits: true,
      thing: { id: part, lead: 'TX-2207' },
    })
  })
  test('that several parts have is not guessed', async () => {
    await aPart({ number: 'TX-9055' })
    await aPart({ number: 'TX-9055', maker: 'Dunmarrow' })
    expect(await scanResolve('TX-9055', 'part', 2026)).toMatchObject({
      thing: null,
      fits: false,
      search: 'TX-9055',
      says: expect.stringContaining('is several'),
    })
  })
  test('that nobody knows can be looked for', async () => {
    expect(await scanResolve('QQ-1', 'part', 2026)).toEqual({
      thing: null,
      fits: false,
      says: '“QQ-1” is no part, bin or machine here.',
      search: 'QQ-1',
    })
  })
})

describe('a code of the maker', () => {
  test('leads to the part by our number, the maker’s, or the number of the trade item in any length', async () => {
    const text = `01${GTIN}10B-7${GS}17280200`
    expect(await scanResolve(`]C1${text}${GS}240TX-2207`, 'part', 2026)).toMatchObject({
      fits: true,
      thing: { id: part },
      says: 'Part TX-2207, Wiping seal; batch B-7, expires on 2028-02-29.',
    })
    expect(await scanResolve(`]C1${text}`, 'part', 2026)).toMatchObject({
      thing: null,
      says: expect.stringContaining('No part here has that number'),
    })
    // Supplier lists give it with 13 digits.
    await ofSupplier(part, GTIN.slice(1))
    expect(await scanResolve(`]d2${text}`, 'part', 2026)).toMatchObject({ thing: { id: part } })
    expect(await scanResolve(`]E0${GTIN.slice(1)}`, 'part', 2026)).toMatchObject({ thing: { id: part } })
  })
  test('of another article with a right check digit is not taken for it', async () => {
    const other = `950600013436${gs1CheckDigit('950600013436')}`
    expect(await scanResolve(`]E0${other}`, 'part', 2026)).toMatchObject({ thing: null })
  })
  test('is read from a drawn symbol as it is from a scanner', async () => {
    // Drawn by one library, read by another, as the camera in the browser does.
    const png = await bwipjs.toBuffer({
      bcid: 'gs1-128',
      text: `(01)${GTIN}(240)TX-2207(10)B-7`,
      backgroundcolor: 'FFFFFF',
      paddingwidth: 12,
      paddingheight: 12,
      scale: 3,
    })
    const image = await loadImage(png)
    const canvas = createCanvas(image.width, image.height)
    canvas.getContext('2d').drawImage(image, 0, 0)
    const [read] = await symbolsRead(canvas)
    expect(await scanResolve(read!.text, 'part', 2026)).toMatchObject({
      thing: { id: part },
      says: expect.stringContaining('batch B-7'),
    })
  })
})
