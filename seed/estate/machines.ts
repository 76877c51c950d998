import { serialCompare } from '../../lib/catalogue/serial-break.ts'
import type { MODELS } from '../figures/makers.ts'

export type ModelKey = keyof typeof MODELS

/** Share of a year's hours in each month, January first; any sum, it is scaled. */
const SEASONS = {
  /** Spraying and mowing from April, harvest in September and October, some winter haulage. */
  tractor: [3, 3, 6, 10, 12, 12, 11, 10, 12, 12, 5, 4],
  /** Grass in the alleys, and the mulching of prunings in late winter. */
  mowing: [1, 4, 8, 12, 17, 17, 15, 12, 8, 4, 1, 1],
  spraying: [0, 2, 9, 18, 20, 17, 14, 12, 6, 2, 0, 0],
  harvest: [3, 3, 4, 4, 4, 4, 5, 8, 26, 28, 8, 3],
  yard: [6, 6, 7, 8, 8, 8, 8, 9, 14, 14, 7, 5],
  irrigation: [0, 0, 0, 4, 14, 26, 30, 20, 6, 0, 0, 0],
  pruning: [24, 26, 20, 4, 0, 0, 0, 0, 0, 2, 8, 16],
} as const

export interface EstateModel {
  season: readonly number[]
  hoursPerYear: number
  /** Repairs a machine of this model sees in a year, all causes. */
  repairsPerYear: number
  /** Serial number of a machine of this model where no serial break asks for another. */
  serialBase: number
}

export const MODEL_USE: Record<ModelKey, EstateModel> = {
  tractor74: { season: SEASONS.tractor, hoursPerYear: 560, repairsPerYear: 9, serialBase: 74_310 },
  tractor92: { season: SEASONS.tractor, hoursPerYear: 690, repairsPerYear: 10, serialBase: 92_140 },
  mower: { season: SEASONS.mowing, hoursPerYear: 310, repairsPerYear: 15, serialBase: 1_440 },
  sprayer: { season: SEASONS.spraying, hoursPerYear: 260, repairsPerYear: 12, serialBase: 3_120 },
  trailer: { season: SEASONS.harvest, hoursPerYear: 330, repairsPerYear: 7, serialBase: 2_210 },
  telehandler: { season: SEASONS.yard, hoursPerYear: 480, repairsPerYear: 10, serialBase: 630_480 },
  pumpSet: { season: SEASONS.irrigation, hoursPerYear: 420, repairsPerYear: 7, serialBase: 8_075 },
  shredder: { season: SEASONS.pruning, hoursPerYear: 150, repairsPerYear: 8, serialBase: 1_530 },
}

export interface EstateMachine {
  model: ModelKey
  fleetNumber: string
  name: string
  /** Null: the plate is gone, as on many a trailer. */
  serialNumber: string | null
  year: number
  /** Hours on the meter when the history begins. */
  hoursAtStart: number
}

interface Plan extends Omit<EstateMachine, 'serialNumber'> {
  /** How far from the serial break this machine lies; null: no plate. */
  fromBreak: number | null
}

const FLEET: readonly Plan[] = [
  {
    model: 'tractor74',
    fleetNumber: 'T-01',
    name: 'Tractor, home orchard',
    year: 2014,
    hoursAtStart: 4210,
    fromBreak: -212,
  },
  {
    model: 'tractor74',
    fleetNumber: 'T-02',
    name: 'Tractor, river orchard',
    year: 2018,
    hoursAtStart: 2380,
    fromBreak: 164,
  },
  {
    model: 'tractor92',
    fleetNumber: 'T-03',
    name: 'Tractor, sprayer and shredder',
    year: 2016,
    hoursAtStart: 3940,
    fromBreak: -87,
  },
  { model: 'tractor92', fleetNumber: 'T-04', name: 'Tractor, harvest', year: 2021, hoursAtStart: 905, fromBreak: 341 },
  {
    model: 'mower',
    fleetNumber: 'M-01',
    name: 'Flail mower, home orchard',
    year: 2013,
    hoursAtStart: 1640,
    fromBreak: -188,
  },
  {
    model: 'mower',
    fleetNumber: 'M-02',
    name: 'Flail mower, river orchard',
    year: 2019,
    hoursAtStart: 710,
    fromBreak: 187,
  },
  {
    model: 'sprayer',
    fleetNumber: 'S-01',
    name: 'Sprayer, old orchards',
    year: 2015,
    hoursAtStart: 1480,
    fromBreak: -140,
  },
  {
    model: 'sprayer',
    fleetNumber: 'S-02',
    name: 'Sprayer, bush orchards',
    year: 2020,
    hoursAtStart: 520,
    fromBreak: 93,
  },
  { model: 'trailer', fleetNumber: 'W-01', name: 'Tipping trailer 1', year: 2009, hoursAtStart: 2750, fromBreak: -131 },
  { model: 'trailer', fleetNumber: 'W-02', name: 'Tipping trailer 2', year: 2017, hoursAtStart: 1320, fromBreak: 118 },
  { model: 'trailer', fleetNumber: 'W-03', name: 'Tipping trailer 3', year: 2006, hoursAtStart: 3400, fromBreak: null },
  {
    model: 'telehandler',
    fleetNumber: 'H-01',
    name: 'Telehandler, yard',
    year: 2017,
    hoursAtStart: 2260,
    fromBreak: 75,
  },
  {
    model: 'pumpSet',
    fleetNumber: 'P-01',
    name: 'Irrigation pump, river',
    year: 2012,
    hoursAtStart: 3110,
    fromBreak: -64,
  },
  { model: 'shredder', fleetNumber: 'C-01', name: 'Prunings shredder', year: 2018, hoursAtStart: 560, fromBreak: 52 },
]

/** A parts list line's break, as the figure file gives it. */
export interface Break {
  from?: string
  to?: string
}

/** "TB1499" moved by -5 is "TB1494"; leading letters and the width of the number stay. */
function serialMoved(serial: string, by: number): string {
  const match = /^(.*?)(\d+)([^\d]*)$/.exec(serial)
  if (!match) return serial
  const [, head = '', digits = '', tail = ''] = match
  return `${head}${String(Math.max(1, Number(digits) + by)).padStart(digits.length, '0')}${tail}`
}

/**
 * The fleet, its serial numbers laid so that machines of a model stand on both sides of the breaks of its figures: those
 * before the break below the lowest one, those after it above the highest.
 */
export function fleetOf(breaksOf: (model: ModelKey) => readonly Break[]): EstateMachine[] {
  return FLEET.map(({ fromBreak, ...machine }) => {
    if (fromBreak === null) return { ...machine, serialNumber: null }
    const marks = breaksOf(machine.model)
      .flatMap((at) => [at.from, at.to].filter((mark): mark is string => mark !== undefined))
      .sort((a, b) => serialCompare(a, b) ?? 0)
    const mark = fromBreak < 0 ? marks[0] : marks.at(-1)
    return { ...machine, serialNumber: serialMoved(mark ?? String(MODEL_USE[machine.model].serialBase), fromBreak) }
  })
}
