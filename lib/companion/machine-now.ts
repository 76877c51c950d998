import { partNumberKey } from '../catalogue/part-number.ts'
import { endsAmong, isShaftEnd } from '../figure/shaft-end.ts'
import { itemKey } from '../figure/strip-order.ts'
import { hoursFormat } from '../machine/hour-meter.ts'
import { dateSays, MONTHS } from '../measure/date.ts'
import { monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { placeCode, placeEnd, placesSay } from './place.ts'
import type { RuleWhen } from './rule.ts'

/** A part that was fitted new on this machine. */
export interface PartRenewed {
  figureId: number
  item: string
  /** Where; empty: wherever it sits. */
  positions: readonly string[]
  on: PlainDate
  /** What the meter showed; null where it was not read. */
  hourTenths: number | null
}

/** The machine of a job as rules may ask for it, on the day the job was opened. */
export interface MachineNow {
  today: PlainDate
  maker: string
  model: string
  /** Last reading of the meter, tenths of an hour; null where there is none. */
  hourTenths: number | null
  /** Year of make. */
  year: number | null
  renewed: readonly PartRenewed[]
}

/** The model, where it is one of those named: by its name, or by maker and name, in whatever spelling. */
export function modelFound(names: readonly string[], { maker, model }: MachineNow): string | null {
  const keys = [partNumberKey(model), partNumberKey(`${maker} ${model}`)]
  return names.some((name) => keys.includes(partNumberKey(name))) ? `${maker} ${model}` : null
}

/** The month, where it lies in the season: from October to March is October, November to March. */
export function seasonFound({ from, to }: NonNullable<RuleWhen['season']>, { today }: MachineNow): string | null {
  const month = Number(today.slice(5, 7))
  const isIn = from <= to ? month >= from && month <= to : month >= from || month <= to
  return isIn ? MONTHS[month - 1]! : null
}

/**
 * How old a part is at the oldest of its places, where it has reached the hours or the years, whichever comes first. It counts from
 * when it was last fitted new; where no job tells of that, it may be as old as the machine: the whole of the meter, and the years
 * from the first day after the year of make. What nobody knows is no age, and the answer is null.
 *
 * Worked example (common practice, no source): a belt renewed at 400 h on 1 May 2021, the meter at 1,300 h: 900 h old.
 */
export function ageFound(
  age: NonNullable<RuleWhen['age']>,
  part: { figureId: number; item: string; places: readonly string[] },
  machine: MachineNow,
): string | null {
  const places = part.places.length > 0 ? part.places : [null]
  for (const place of places) {
    const renewed = machine.renewed
      .filter((one) => one.figureId === part.figureId && itemKey(one.item) === itemKey(part.item))
      .filter(({ positions }) => place === null || isRenewedAt(positions, place))
      .reduce<PartRenewed | null>((last, one) => (last === null || one.on >= last.on ? one : last), null)
    const found = renewed ? sinceRenewed(age, renewed, machine) : sinceNew(age, machine)
    if (found !== null) return place === null ? found : `${placesSay([place])}: ${found}`
  }
  return null
}

/** Whether something fitted at these positions is what sits at the place. What names no side, or no end, may be at any. */
function isRenewedAt(positions: readonly string[], place: string): boolean {
  const ends = endsAmong(positions)
  const codes = positions.filter((code) => !isShaftEnd(code))
  const [code, end] = [placeCode(place), placeEnd(place)]
  const isSide = code === '' || codes.length === 0 || codes.includes(code)
  return isSide && (end === '' || ends.length === 0 || (isShaftEnd(end) && ends.includes(end)))
}

function sinceRenewed(
  { hours, years }: NonNullable<RuleWhen['age']>,
  { on, hourTenths }: PartRenewed,
  machine: MachineNow,
): string | null {
  // A meter that was replaced since shows less than it did then: what has been run is not known.
  const ran = hourTenths === null || machine.hourTenths === null ? -1 : machine.hourTenths - hourTenths
  if (hours !== undefined && ran >= hours * 10) return `${hoursFormat(ran)} since it was renewed on ${dateSays(on)}`
  return years !== undefined && monthsAdd(on, years * 12) <= machine.today ? `renewed on ${dateSays(on)}` : null
}

function sinceNew({ hours, years }: NonNullable<RuleWhen['age']>, machine: MachineNow): string | null {
  const { hourTenths, year, today } = machine
  if (hours !== undefined && hourTenths !== null && hourTenths >= hours * 10)
    return `no renewal on file, machine at ${hoursFormat(hourTenths)}`
  if (years === undefined || year === null || monthsAdd(`${year + 1}-01-01`, years * 12) > today) return null
  return `no renewal on file, machine made in ${year}`
}
