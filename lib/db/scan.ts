import { partNumberKey } from '../catalogue/part-number.ts'
import type { Gs1Element } from '../label/gs1-element.ts'
import type { LabelKind } from '../label/label-code.ts'
import { type Scanned, type ScannedBatch, scannedBatch, scannedRead } from '../label/scanned.ts'
import { database, Prisma } from './client.ts'
import { SERIAL_NUMBER_KEY, SUPPLIER_NUMBER_KEY } from './number-key.ts'

/** What a field is about; batch: number and date on a pack; any: the search, which takes all of them. */
export type ScanWant = LabelKind | 'batch' | 'any'

export interface ScanThing {
  kind: LabelKind
  id: number
  /** Part number, bin code or fleet number. */
  lead: string
  /** Description, store or name. */
  name: string
}

export interface ScanAnswer {
  /** What was scanned; null where nothing here answers, or several things do. */
  thing: ScanThing | null
  /** Whether the field can use it. */
  fits: boolean
  says: string
  /** To look for instead, where a number alone does not decide. */
  search: string | null
  /** What the maker's code says of the batch. */
  batch?: ScannedBatch
}

const A = {
  bin: 'a bin',
  part: 'a part',
  machine: 'a machine',
  batch: 'a batch',
  any: 'a part, bin or machine',
} as const
const ORDER: readonly LabelKind[] = ['part', 'machine', 'bin']

/**
 * What a scanned text stands for.
 * @param raw as the reader gave it
 * @param year today's, for the dates of makers' codes
 */
export async function scanResolve(raw: string, want: ScanWant, year: number): Promise<ScanAnswer> {
  const scanned = scannedRead(raw, year)
  const batch = scannedBatch(scanned)
  const found = await resolved(scanned, want)
  return batch === null || (scanned.is === 'text' && want !== 'batch') ? found : batchAnswer(found, batch, want)
}

/** Number and date go into the fields of the pack in hand; the part that the code names is told along, to be held against them. */
function batchAnswer(found: ScanAnswer, batch: ScannedBatch, want: ScanWant): ScanAnswer {
  if (want !== 'batch') return { ...found, batch }
  const says = [batch.code && `Batch ${batch.code}`, batch.useBy && `use by ${batch.useBy}`].filter(Boolean).join(', ')
  const ofPart = found.thing?.kind === 'part' ? `, of part ${found.thing.lead}` : ''
  return { ...found, batch, fits: true, says: `${says[0]!.toUpperCase()}${says.slice(1)}${ofPart}.` }
}

async function resolved(scanned: Scanned, want: ScanWant): Promise<ScanAnswer> {
  if (scanned.is === 'broken') return nothing(scanned.why)
  if (scanned.is === 'label') {
    const thing = await THING[scanned.kind](scanned.id)
    if (thing) return answer(thing, want, '')
    return nothing(
      `The label is of ${A[scanned.kind]} that is not kept here. It may be of another workshop, or of something taken off the list.`,
    )
  }
  if (scanned.is === 'text') {
    const found = await byText(scanned.text, want)
    if (found.length === 0 && scanned.spoiled)
      return nothing(
        'This looks like a label of ours, but its check digits do not fit. Scan it again, or type the number.',
      )
    return chosen(found, want, `“${scanned.text}”`, scanned.text, '')
  }
  const keys = scanned.is === 'gtin' ? gtinKeys(scanned.gtin) : elementKeys(scanned.elements)
  const more = scanned.is === 'gs1' ? moreSays(scanned.elements) : ''
  for (const { key, says } of keys) {
    const found = await partsByNumber(key)
    if (found.length > 0) return chosen(found, want, says, says, more)
  }
  const carried = scanned.is === 'gtin' ? `GTIN ${trimmed(scanned.gtin)}` : elementsSay(scanned.elements)
  return nothing(
    `The code says ${carried}. No part here has that number. Enter it as the supplier’s number of the part, or look the part up.`,
  )
}

function nothing(says: string, search: string | null = null): ScanAnswer {
  return { thing: null, fits: false, says, search }
}

function nameOf({ kind, lead, name }: ScanThing): string {
  return kind === 'bin' ? `bin ${lead} in ${name}` : `${kind} ${lead}, ${name}`
}

function answer(thing: ScanThing, want: ScanWant, more: string): ScanAnswer {
  const fits = want === 'any' || want === thing.kind
  const name = nameOf(thing)
  const says = fits ? `${name[0]!.toUpperCase()}${name.slice(1)}${more}.` : `This is ${name}, not ${A[want]}.`
  return { thing, fits, says, search: null }
}

function chosen(found: ScanThing[], want: ScanWant, says: string, search: string, more: string): ScanAnswer {
  const [first, ...others] = found
  if (!first) return nothing(`${says} is no part, bin or machine here.`, search)
  if (others.length > 0) return nothing(`${says} is several: ${found.map(nameOf).join('; ')}. Choose one.`, search)
  return answer(first, want, more)
}

const THING: Record<LabelKind, (id: number) => Promise<ScanThing | null>> = {
  async bin(id) {
    const bin = await database().bin.findFirst({ where: { id, closedAt: null }, include: { store: true } })
    return bin && { kind: 'bin', id, lead: bin.code, name: bin.store.name }
  },
  async part(id) {
    const part = await database().part.findUnique({ where: { id } })
    return part && { kind: 'part', id, lead: part.number, name: part.description }
  },
  async machine(id) {
    const machine = await database().machine.findUnique({ where: { id } })
    return machine && { kind: 'machine', id, lead: machine.fleetNumber, name: machine.name }
  },
}

const BY_TEXT: Record<LabelKind, (key: string) => Promise<ScanThing[]>> = {
  part: partsByNumber,
  bin: binsByCode,
  machine: machinesByNumber,
}

/** What the field is about first: a bin and a part may have the same number. */
async function byText(text: string, want: ScanWant): Promise<ScanThing[]> {
  const key = partNumberKey(text)
  if (key === '') return []
  const order = want === 'any' || want === 'batch' ? ORDER : [want, ...ORDER.filter((kind) => kind !== want)]
  for (const kind of order) {
    const found = await BY_TEXT[kind](key)
    if (found.length > 0) return found
  }
  return []
}

/** The number itself; only where nobody has it, that of a supplier. */
async function partsByNumber(key: string): Promise<ScanThing[]> {
  const own = await database().part.findMany({ where: { numberKey: key }, orderBy: { id: 'asc' }, take: 5 })
  const ofSupplier =
    own.length > 0
      ? []
      : await database().$queryRaw<{ id: number | bigint }[]>`
          SELECT DISTINCT o."partId" AS "id" FROM "Offer" o WHERE ${SUPPLIER_NUMBER_KEY} = ${key} LIMIT 5`
  const parts =
    own.length > 0
      ? own
      : await database().part.findMany({ where: { id: { in: ofSupplier.map(({ id }) => Number(id)) } } })
  return parts.map(({ id, number, description }) => ({ kind: 'part', id, lead: number, name: description }))
}

async function binsByCode(key: string): Promise<ScanThing[]> {
  const bins = await database().bin.findMany({
    where: { codeKey: key, closedAt: null },
    include: { store: true },
    orderBy: { id: 'asc' },
    take: 5,
  })
  return bins.map(({ id, code, store }) => ({ kind: 'bin', id, lead: code, name: store.name }))
}

/** By the fleet number, else by the serial number on the maker's plate. */
async function machinesByNumber(key: string): Promise<ScanThing[]> {
  const rows = await database().$queryRaw<{ id: number | bigint; fleetNumber: string; name: string }[]>(Prisma.sql`
    SELECT "id", "fleetNumber", "name" FROM "Machine" WHERE "fleetKey" = ${key}
    UNION SELECT "id", "fleetNumber", "name" FROM "Machine" WHERE ${SERIAL_NUMBER_KEY} = ${key} LIMIT 5`)
  return rows.map(({ id, fleetNumber, name }) => ({ kind: 'machine', id: Number(id), lead: fleetNumber, name }))
}

interface NumberKey {
  key: string
  says: string
}

function trimmed(gtin: string): string {
  return gtin.replace(/^0{1,6}/, '')
}

/** A GTIN stands in lists with 8, 12, 13 or 14 digits: the same number with zeros before it. */
function gtinKeys(gtin: string): NumberKey[] {
  const lengths = [14, 13, 12, 8].filter((length) => /^0*$/.test(gtin.slice(0, 14 - length)))
  return lengths.map((length) => ({ key: gtin.slice(14 - length), says: gtin.slice(14 - length) }))
}

/** Our own number first, then the maker's, then the number of the trade item. */
function elementKeys(elements: readonly Gs1Element[]): NumberKey[] {
  return ['241', '240', '01', '02'].flatMap((ai) => {
    const element = elements.find((one) => one.ai === ai)
    if (!element) return []
    return ai.length === 2 ? gtinKeys(element.value) : [{ key: partNumberKey(element.value), says: element.value }]
  })
}

function elementsSay(elements: readonly Gs1Element[]): string {
  return elements.map(({ says, value }) => `${says} ${value}`).join(', ')
}

/** What the code says beyond the part: batch, last day, serial number, count. */
function moreSays(elements: readonly Gs1Element[]): string {
  const more = elements.filter(({ ai }) => !['01', '02', '240', '241'].includes(ai))
  return more.length === 0 ? '' : `; ${elementsSay(more)}`
}
