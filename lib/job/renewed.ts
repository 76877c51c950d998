import type { LineFacts } from '../figure/schema.ts'
import { endShare, placeSays } from '../figure/shaft-end.ts'
import type { StockUnit } from '../measure/quantity.ts'

/** What the words for a line need of it. */
interface FitLine {
  item: string
  description: string
  quantity: number
  unit: StockUnit
  facts: Pick<LineFacts, 'stations'>
}

/** A part of a figure that is renewed on this job, aimed at or agreed to. Quantity in minor units over all its positions. */
export interface Renewed {
  figureId: number
  item: string
  /** Part that goes in, which may be another than the list names. */
  partNumber: string
  positions: readonly string[]
  quantity: number
}

/**
 * How a rebuild step begins: "Fit" what came off and goes back, "Fit new" with its number what is renewed, and both where only
 * some are. `sides` are the positions of the figure that are in hand, none where it sits once; `end` the end of the shaft that
 * the step is done at, with its share of the pieces. Example: "Fit new 10 Oil seal, DM60231 (LH); put back (RH)".
 */
export function fitSays(
  line: FitLine,
  sides: readonly string[],
  renewed: readonly Renewed[],
  end: string | null = null,
): string {
  const head = `${line.item} ${line.description}`
  const say = (codes: readonly string[]) => {
    const said = end === null ? codes : [...codes, placeSays(end)]
    return said.length > 0 ? ` (${said.join(', ')})` : ''
  }
  if (renewed.length === 0) return `Fit ${head}${say(sides)}`
  const number = [...new Set(renewed.map((one) => one.partNumber))].join(', ')
  const codes = [...new Set(renewed.flatMap((one) => one.positions))]
  const quantity = renewed.reduce((sum, one) => sum + one.quantity, 0)
  const fresh = `Fit new ${head}, ${number}`
  const stations = codes.filter((code) => !sides.includes(code))
  if (line.facts.stations !== undefined && stations.length > 0)
    return stations.length < line.facts.stations ? `${fresh} (${codes.join(', ')}); put the others back` : fresh
  const kept = sides.filter((side) => codes.length > 0 && !codes.includes(side))
  if (kept.length > 0) return `${fresh}${say(sides.filter((side) => codes.includes(side)))}; put back${say(kept)}`
  const whole = endShare(line.quantity, end === null ? 0 : 1) * Math.max(1, sides.length)
  // Three new ones over two sides: nobody said which side keeps an old one.
  if (line.unit === 'each' && !Number.isInteger(quantity))
    return `${fresh}${say(sides)}, ${Math.floor(quantity)} or ${Math.ceil(quantity)} of ${whole}; put the others back`
  return line.unit === 'each' && quantity < whole
    ? `${fresh}${say(sides)}, ${quantity} of ${whole}; put the others back`
    : `${fresh}${say(sides)}`
}

interface DecidedNeed {
  id: number
  origin: string
  kind: string
  state: string
  key: string
  item: string | null
  positions: string
  wanted: number
  part: { number: string } | null
}

/** The line that an approved alternative stands in for names the figure. */
const STANDS_IN = /^by-hand:alternative:(\d+):/

/** What was agreed to, of the job's needs: parts of the drawing only. Grease for a bearing names the bearing and renews nothing. */
export function renewedOf(needs: readonly DecidedNeed[]): Renewed[] {
  return needs.flatMap(({ origin, kind, state, key, item, positions, wanted, part }) => {
    if (origin === 'target' || kind !== 'part' || state !== 'accepted' || item === null || part === null) return []
    const standsFor = Number(STANDS_IN.exec(key)?.[1] ?? 0)
    const figureId = Number((needs.find((need) => need.id === standsFor)?.key ?? key).split(':')[0])
    return [{ figureId, item, partNumber: part.number, positions: JSON.parse(positions) as string[], quantity: wanted }]
  })
}
