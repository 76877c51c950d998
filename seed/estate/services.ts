import type { PartClass } from '../../lib/catalogue/part-class.ts'
import type { SpareRef } from './machine-spares.ts'
import type { ModelKey } from './machines.ts'
import { SERVICE_RENEWS, SERVICE_TAKES } from './spare-wear.ts'

/** A service of a model of the estate: how often, what it takes in any case, what it looks at and does. */
export interface ServicePlan {
  name: string
  everyHours: number | null
  everyMonths: number | null
  toleranceHours: number
  toleranceDays: number
  takes: readonly { part: SpareRef; quantity: number }[]
  looksAt: readonly PartClass[]
  acts: readonly string[]
  /** Beginnings of the complaint of the jobs that carried it out. */
  doneBy: readonly string[]
}

/** Machines with an engine of their own that run all year: their oil does not wait for the winter. */
const BY_HOURS: Partial<Record<ModelKey, number>> = { tractor74: 400, tractor92: 400, telehandler: 300 }

const WINTER_ACTS: Record<ModelKey, readonly string[]> = {
  tractor74: ['Grease all round', 'Check hoses and their ends for chafing', 'Set the clutch pedal to its free travel'],
  tractor92: ['Grease all round', 'Check hoses and their ends for chafing', 'Set the clutch pedal to its free travel'],
  mower: ['Grease all round', 'Check guards and flaps', 'Tighten the belts to the figure in the manual'],
  sprayer: ['Grease all round', 'Drain pump and lines before frost', 'Check the pressure gauge against a test gauge'],
  trailer: ['Grease all round', 'Set the brakes', 'Check lamps and plug', 'Check tyres and their pressure'],
  telehandler: ['Grease boom and axles', 'Check chains and pads of the boom', 'Check hoses and their ends for chafing'],
  pumpSet: ['Grease the bearings', 'Line up pump and engine', 'Drain the pump before frost'],
  shredder: ['Grease all round', 'Check the emergency stop', 'Tighten the belts to the figure in the manual'],
}

/** Intervals and acts: common practice, no source. The maker's manual comes first. */
export function servicePlansOf(model: ModelKey): ServicePlan[] {
  const hours = BY_HOURS[model]
  const looksAt = (Object.entries(SERVICE_RENEWS) as [PartClass, number][])
    .filter(([, chance]) => chance > 0)
    .map(([partClass]) => partClass)
  const winter: ServicePlan = {
    name: 'Winter service',
    everyHours: null,
    everyMonths: 12,
    toleranceHours: 0,
    toleranceDays: 45,
    takes: hours === undefined ? SERVICE_TAKES[model] : [],
    looksAt,
    acts: WINTER_ACTS[model],
    doneBy: ['Winter service'],
  }
  if (hours === undefined) return [winter]
  const oils: ServicePlan = {
    name: 'Oils and filters',
    everyHours: hours,
    everyMonths: 12,
    toleranceHours: Math.round(hours / 10),
    toleranceDays: 30,
    takes: SERVICE_TAKES[model],
    looksAt: [],
    acts: ['Check all levels after the first run'],
    doneBy: ['Winter service', 'Summer service'],
  }
  return [oils, winter]
}
