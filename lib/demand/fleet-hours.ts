import { type SerialBreak, serialBreaksCover } from '../catalogue/serial-break.ts'
import { hoursByMonth, type Installed } from './exposure.ts'
import type { Month } from './history.ts'

export interface FleetMachine extends Pick<Installed, 'readings' | 'year'> {
  modelId: number
  serialNumber: string | null
}

/** A line of a parts list that is in use, as far as it says where a part is fitted. */
export interface FittedLine {
  /** Models whose figure it stands in. */
  modelIds: readonly number[]
  /** Pieces of today's part over all positions of the line. */
  fitted: number
  breaks: readonly SerialBreak[]
}

export interface FleetExposure {
  /** Piece-hours of each month. */
  hours: number[]
  machines: number
}

const plus = (sums: number[], hours: readonly number[], times: number) => {
  for (let at = 0; at < hours.length; at++) sums[at] = (sums[at] ?? 0) + hours[at]! * times
}

/**
 * Hours of a whole fleet, reckoned once and asked for part by part: what `exposureByMonth` gives for the machines that have a part.
 * Lines without a serial break take the sum of their model; the others look at each machine of it.
 */
export class FleetHours {
  private readonly ofModel = new Map<
    number,
    { hours: number[]; machines: { hours: number[]; serial: string | null }[] }
  >()

  constructor(
    machines: readonly FleetMachine[],
    readonly months: readonly Month[],
  ) {
    for (const { modelId, serialNumber, readings, year } of machines) {
      const hours = hoursByMonth({ readings, year }, months)
      const model = this.ofModel.get(modelId) ?? { hours: months.map(() => 0), machines: [] }
      plus(model.hours, hours, 1)
      model.machines.push({ hours, serial: serialNumber })
      this.ofModel.set(modelId, model)
    }
  }

  /** A machine whose serial number cannot be told is taken to have the part. */
  exposure(lines: readonly FittedLine[]): FleetExposure {
    const hours = this.months.map(() => 0)
    const whole = new Set<number>()
    const single = new Map<object, number>()
    for (const { modelIds, fitted, breaks } of lines) {
      if (fitted === 0) continue
      for (const modelId of modelIds) {
        const model = this.ofModel.get(modelId)
        if (!model) continue
        if (breaks.length === 0) {
          whole.add(modelId)
          plus(hours, model.hours, fitted)
          continue
        }
        for (const machine of model.machines) {
          if (serialBreaksCover(breaks, machine.serial) === 'not') continue
          single.set(machine, modelId)
          plus(hours, machine.hours, fitted)
        }
      }
    }
    let machines = [...single.values()].filter((modelId) => !whole.has(modelId)).length
    for (const modelId of whole) machines += this.ofModel.get(modelId)!.machines.length
    return { hours, machines }
  }
}
