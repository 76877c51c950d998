/** What a column of a parts list holds. `other`: material, remarks, weight: read by people, not needed here. */
export type ColumnKind = 'item' | 'partNumber' | 'description' | 'quantity' | 'other'

/** Head words in UK and US use, letters and digits only (common practice, no source; ISO 7573 names the fields). */
const WORDS: Record<ColumnKind, readonly string[]> = {
  item: words(
    'item itemno itemnr itemnumber items pos posno position ref refno refnr reference key keyno callout balloon bubble',
    'index no nr num number id bomid find findno illno illus seq seqno lineno mark figitem itemid sno slno detail',
  ),
  partNumber: words(
    'partno partnr partnumber partnum partnos pn pno partcode code articleno articlenumber article orderno ordernumber',
    'stockno stocknumber drawingno drawingnumber dwgno catno catalogueno catalogno productno sku partid partref',
    'partreference materialno materialnumber sparepartno codeno',
  ),
  description: words(
    'description descriptions desc descr descrip name partname designation denomination title component components',
    'nomenclature partdescription itemdescription itemname parttitle details particulars part parts',
  ),
  quantity: words(
    'qty oty gty aty 0ty qnty qtty qtyreq qtyreqd qtyrequired quantity quant quan qt pcs pieces off nooff noreqd noreq reqd req required',
    'amount count qtyperassy qtyassy qtyasm upa unitsperassembly perassy nos numberoff quantityperassembly',
  ),
  other: words(
    'material materials mat remarks remark notes note comment comments weight mass size finish standard std unit units',
    'price rev revision supplier maker manufacturer vendor dimensions dimension dim length spec specification serial',
    'serialno model models treatment surface stock type date drawing scale volume kg code2 uom',
  ),
}

function words(...lines: string[]): string[] {
  return lines.flatMap((line) => line.split(' '))
}

/** Fewest single letters put in, left out or changed that turn one word into the other (Levenshtein). */
function lettersApart(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, at) => at)
  for (let i = 1; i <= a.length; i++) {
    const next = [i]
    for (let j = 1; j <= b.length; j++)
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)))
    row = next
  }
  return row[b.length]!
}

/** What a head says its column holds; null when it says nothing known. One letter read wrong in four is forgiven. */
export function headKind(text: string): ColumnKind | null {
  if (/^\s*(#|№)\s*$/.test(text)) return 'item'
  const word = text
    .toLowerCase()
    .normalize('NFKD')
    .replace(/[^a-z0-9]/g, '')
  if (word === '' || word.length > 30) return null
  let best: { kind: ColumnKind; apart: number } | null = null
  for (const [kind, known] of Object.entries(WORDS) as [ColumnKind, readonly string[]][])
    for (const one of known) {
      const allowed = one.length >= 8 ? 2 : one.length >= 4 ? 1 : 0
      if (Math.abs(one.length - word.length) > allowed) continue
      const apart = one === word ? 0 : lettersApart(one, word)
      if (apart <= allowed && (best === null || apart < best.apart)) best = { kind, apart }
    }
  if (best) return best.kind
  // Several words in one head: the longest known word it begins or ends with.
  const longest = (Object.entries(WORDS) as [ColumnKind, readonly string[]][])
    .flatMap(([kind, known]) => known.filter((one) => one.length >= 4).map((one) => ({ kind, one })))
    .filter(({ one }) => word.startsWith(one) || word.endsWith(one))
    .sort((a, b) => b.one.length - a.one.length)[0]
  return longest?.kind ?? null
}

/** Kinds of all columns by the heads; a second column of a kind that comes once is `other`. */
export function headKinds(heads: readonly string[]): ColumnKind[] {
  const kinds = heads.map((head) => headKind(head) ?? 'other')
  const first = (kind: ColumnKind) => kinds.indexOf(kind)
  // "Part" alone is the number where another column has the name.
  const part = heads.findIndex((head) => /^\s*parts?\s*$/i.test(head))
  if (part >= 0 && first('partNumber') < 0 && kinds.some((kind, at) => kind === 'description' && at !== part))
    kinds[part] = 'partNumber'
  // "No." alone is the item, unless another head says item: then it is how many.
  const bare = heads.findIndex((head) => /^\s*(no|nr|number)[.,]?\s*$/i.test(head))
  if (bare >= 0 && kinds.some((kind, at) => kind === 'item' && at !== bare))
    kinds[bare] = first('quantity') < 0 ? 'quantity' : 'other'
  return kinds.map((kind, at) => (kind !== 'other' && kinds.indexOf(kind) < at ? 'other' : kind))
}

/** An item number as printed: 7, 12A, E1, 1.4, 3-2, with or without a full stop or brackets. Empty when it is none. */
export function itemOf(text: string): string {
  const plain = text.trim().replace(/^[([{]+|[)\]}.,:;]+$/g, '')
  const tidy = /\d/.test(plain) ? plain.replace(/\s+/g, '') : digitsMeant(plain.replace(/\s+/g, ''))
  const upper = tidy.toUpperCase()
  if (/^0+$/.test(digitsMeant(upper))) return ''
  if (/^[A-Z]{0,2}\d{1,4}(?:[.\-/]\d{1,3}){0,3}[A-Z]?$/.test(upper) && upper.length <= 8) return upper
  const meant = digitsMeant(tidy).toUpperCase()
  return /^\d{1,3}$/.test(meant) ? meant : ''
}

/** Digits that a reader takes for letters when they stand alone. */
function digitsMeant(text: string): string {
  return text
    .replace(/[OoQD]/g, '0')
    .replace(/[lI|!]/g, '1')
    .replace(/[Zz]/g, '2')
    .replace(/[Ss]/g, '5')
    .replace(/B/g, '8')
}

export interface Quantity {
  quantity: number | null
  note: string
}

const NOTES = /^(a\/?r|ref\.?|as req(?:uired|'?d)?\.?|-+|—|x)$/i

/** "4", "2 off", "x2", "1.5 m"; "AR" and "REF" stand in the note. Null when nothing is printed or it cannot be read. */
export function quantityOf(text: string): Quantity {
  const plain = text.trim()
  if (plain === '') return { quantity: null, note: '' }
  const found =
    /^(?:x\s*)?(\d{1,5}(?:[.,]\d{1,3})?)\s*(?:x|off|pcs?\.?|pieces?|ea\.?|each|nos?\.?)?\s*(m|mm|cm|kg|g|l|ml|set|sets|pair|pairs)?\.?$/i.exec(
      plain,
    )
  if (found) return { quantity: Number(found[1]!.replace(',', '.')), note: found[2] ?? '' }
  if (NOTES.test(plain)) return { quantity: null, note: /^[-—x]+$/i.test(plain) ? '' : plain.slice(0, 20) }
  const meant = digitsMeant(plain.replace(/\s+/g, ''))
  if (/^\d{1,4}$/.test(meant) && plain.length <= 3) return { quantity: Number(meant), note: '' }
  return { quantity: null, note: plain.slice(0, 20) }
}

function share(texts: readonly string[], is: (text: string) => boolean): number {
  return texts.length === 0 ? 0 : texts.filter(is).length / texts.length
}

/**
 * Kinds of the columns of a list without a readable head, by what stands in them: items are short, all different and rise
 * or fall; quantities are small numbers that repeat; the name has the most letters; a part number has digits.
 */
export function kindsByContent(columns: readonly (readonly string[])[]): ColumnKind[] {
  const kinds: ColumnKind[] = columns.map(() => 'other')
  const filled = columns.map((texts) => texts.filter((text) => text.trim() !== ''))
  const isItems = (texts: readonly string[]) =>
    share(texts, (text) => itemOf(text) !== '') >= 0.7 && new Set(texts.map(itemOf)).size >= 0.75 * texts.length
  const item = filled.findIndex((texts) => texts.length >= 2 && isItems(texts))
  if (item < 0) return kinds
  kinds[item] = 'item'
  const free = () => kinds.flatMap((kind, at) => (kind === 'other' && filled[at]!.length > 0 ? [at] : []))
  const letters = (at: number) => filled[at]!.join('').replace(/[^\p{L}]/gu, '').length
  const name = free().sort((a, b) => letters(b) - letters(a))[0]
  if (name !== undefined && letters(name) > 0) kinds[name] = 'description'
  const quantity = free().find((at) => share(filled[at]!, (text) => /^\s*\d{1,3}\s*$/.test(text)) >= 0.6)
  if (quantity !== undefined) kinds[quantity] = 'quantity'
  const number = free().find((at) => share(filled[at]!, (text) => /\d/.test(text) && text.trim().length >= 3) >= 0.6)
  if (number !== undefined) kinds[number] = 'partNumber'
  return kinds
}

/** Kinds by the heads, and for columns whose head says nothing known by what stands in them. */
export function kindsCompleted(
  kinds: readonly ColumnKind[],
  heads: readonly string[],
  columns: readonly (readonly string[])[],
): ColumnKind[] {
  const told = kindsByContent(columns)
  return kinds.map((kind, at) => {
    const own = told[at] ?? 'other'
    return kind === 'other' && headKind(heads[at] ?? '') === null && !kinds.includes(own) ? own : kind
  })
}
