import { paths } from '@/app/paths.ts'
import type { LastFitted } from '@/lib/job/last-fitted.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { dateSays } from '@/lib/measure/date.ts'

/** A fitting of the service book as the figure's screen shows it: everything is words by now. */
export interface FittedSays {
  /** LH; 3 and 9; empty where no place is said. */
  places: string
  /** The number that went in, and what it is today. */
  number: string
  /** Date and hours, and the machine where it is not in hand. */
  when: string
  entry: { href: string; says: string }
  corrections: string[]
}

export function fittedSays(last: LastFitted, listedNumber: string, machineInHand: boolean): FittedSays {
  const { fitting, nowNumber } = last
  const number = `${fitting.inKit ? 'kit ' : ''}${fitting.partNumber}`
  const isOther = !fitting.inKit && fitting.partNumber !== listedNumber
  const hours = fitting.hourTenths === null ? '' : ` at ${hoursFormat(fitting.hourTenths)}`
  return {
    places: positionsSay(last.positions),
    number: nowNumber ? `fitted as ${number}, now ${nowNumber}` : isOther ? `fitted as ${number}` : number,
    when: `${dateSays(fitting.writtenAt)}${hours}${machineInHand ? '' : `, ${fitting.fleetNumber}`}`,
    entry: {
      href: paths.serviceBookEntry(fitting.machineId, fitting.entryId),
      says: fitting.jobNumber === null ? 'service book' : `job ${fitting.jobNumber}`,
    },
    corrections: fitting.corrections,
  }
}
