import { placeSays } from '../figure/shaft-end.ts'
import { hoursFormat } from '../machine/hour-meter.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { type EntryContent, fittedSays } from './service-book.ts'

export interface BookSheetEntry {
  writtenAt: Date
  person: string
  hourTenths: number | null
  content: EntryContent
}

/** An entry of the service book as it is set on paper: all words, none of them changed. */
export interface BookSheet {
  heading: string
  /** When, at how many hours, by whom. */
  written: string
  machine: string
  told: { label: string; text: string }[]
  fitted: {
    item: string
    number: string
    maker: string
    description: string
    figure: string
    quantity: string
    cost: string
  }[]
  /** Sum of the parts; null where nothing was fitted. */
  cost: string | null
  lists: { title: string; lines: string[] }[]
  /** Oldest first, as they were written under it. */
  corrections: { written: string; text: string }[]
}

const STATES: Record<string, string> = { done: 'done', 'not-applicable': 'does not apply', open: 'open' }

function writtenSays(entry: Omit<BookSheetEntry, 'content'>): string {
  const hours = entry.hourTenths === null ? '' : ` at ${hoursFormat(entry.hourTenths)}`
  return `${dateSays(entry.writtenAt)}${hours}, written by ${entry.person}`
}

/** `190 min: Sam Lutterby 120 on 3 Nov 2026, Nell Arkwood 70 on 4 Nov 2026`. */
function labourSays({ labourMinutes, labour = [] }: EntryContent): string {
  if (labourMinutes === 0) return ''
  const each = labour.map(({ by, day, minutes }) => `${by} ${minutes} on ${dateSays(day)}`)
  return `${labourMinutes} min${each.length > 0 ? `: ${each.join(', ')}` : ''}`
}

function toldOf(content: EntryContent): BookSheet['told'] {
  const lines: [string, string][] = [
    ['Complaint', content.complaint],
    ['Cause', content.cause],
    ['Correction', content.correction],
    ...(content.meter ?? []).map((one): [string, string] => [
      'Hour meter',
      `${hoursFormat(one.hourTenths)}: ${one.reason}`,
    ]),
    ['Labour', labourSays(content)],
    ['Found on', content.foundOnJob === undefined ? '' : `job ${content.foundOnJob}`],
    ['Released to work by', content.releasedBy ?? ''],
  ]
  return lines.filter(([, text]) => text !== '').map(([label, text]) => ({ label, text }))
}

function listsOf(content: EntryContent): BookSheet['lists'] {
  const amount = (quantity: number, unit: string) => quantityFormat(quantity, unit as StockUnit)
  const stated = (one: { text: string; state: string; note?: string | null; by: string | null }) =>
    `${STATES[one.state] ?? one.state}: ${one.text}${one.note ? `, ${one.note}` : ''}${one.by ? ` (${one.by})` : ''}`
  const tested = ({
    measured,
    ...test
  }: Parameters<typeof stated>[0] & Pick<EntryContent['tests'][number], 'measured'>) => {
    if (!measured) return stated(test)
    const { what, value, unit, limits, passes } = measured
    return `${stated(test)} - ${what} ${value} ${unit}, ${passes ? 'inside' : 'outside'} ${limits}`
  }
  const lists = [
    { title: 'Tests before release', lines: content.tests.map(tested) },
    { title: 'After the first loaded run', lines: (content.afterRun ?? []).map(tested) },
    { title: 'Carried out', lines: content.acts },
    {
      title: 'Wanted and not fitted',
      lines: [
        ...(content.notFitted ?? []).map(
          (one) =>
            `${one.description} (${one.strength}): ${amount(one.taken, one.unit)} of ${amount(one.wanted, one.unit)}`,
        ),
        ...(content.notFittedReason ? [`Why: ${content.notFittedReason}`] : []),
      ],
    },
    {
      title: 'Left out, and why',
      lines: content.declined.map((one) => `${one.description} (${one.strength}): ${one.reason || 'no reason given'}`),
    },
    {
      title: 'Hand-over notes',
      lines: (content.notes ?? []).map(({ text, by, at }) => `${text} (${by}, ${dateSays(new Date(at))})`),
    },
    {
      title: 'Photos, kept with the entry',
      lines: (content.photos ?? []).map(({ alt, step }) => (step === null ? alt : `${alt} - ${step}`)),
    },
  ]
  return lists.filter((list) => list.lines.length > 0)
}

/** The entry with its corrections under it, for paper. */
export function bookSheet(entry: BookSheetEntry, corrections: readonly BookSheetEntry[]): BookSheet {
  const { content } = entry
  const { machine, job } = content
  return {
    heading: job ? `Job ${job.number}, ${job.kind}` : 'Correction',
    written: writtenSays(entry),
    machine: `${machine.fleetNumber} ${machine.name}, ${machine.model}, ${machine.serialNumber ? `S/N ${machine.serialNumber}` : 'no serial number'}`,
    told: toldOf(content),
    fitted: content.fitted.map((line) => ({
      item: line.item ?? '',
      number: line.partNumber,
      maker: line.maker,
      description: `${fittedSays(line)}${line.positions.length > 0 ? ` (${line.positions.map(placeSays).join(', ')})` : ''}`,
      figure: line.figure ?? '',
      quantity: quantityFormat(line.quantity, line.unit as StockUnit),
      cost: moneyFormat(line.costMinor, content.currency),
    })),
    cost: content.fitted.length > 0 ? moneyFormat(content.partsCostMinor, content.currency) : null,
    lists: listsOf(content),
    corrections: [...corrections]
      .sort((a, b) => a.writtenAt.getTime() - b.writtenAt.getTime())
      .map((one) => ({ written: writtenSays(one), text: one.content.correction })),
  }
}
