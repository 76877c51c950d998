import { stringify } from 'csv-stringify/sync'
import { croston, sba, ses, tsb } from '../demand/croston.ts'
import { demandShape } from '../demand/demand-class.ts'
import { type InstalledBase, installedBase } from '../demand/installed-base.ts'
import type { SeriesPart } from '../demand/series-file.ts'
import { type Answer, EXIT } from './answer.ts'
import { SERIES_HELP, type SeriesSaid, seriesFile } from './series.ts'

export interface DemandOptions {
  json?: boolean
  horizon: string
}

export const DEMAND_HELP = `${SERIES_HELP}
Answer for each id: class of demand (smooth, erratic, intermittent, lumpy; cut-offs ADI 1.32 and CV2 0.49), forecasts in pieces a
period, and the distribution of demand over --horizon periods: family and parameters, mean, variance, and the amounts that are
enough with a chance of 50, 90, 95 and 99 %. learned_from says whether class or all parts stood beside the part's own history;
is_new, that nothing was ever asked for, so that all of it comes from them. JSON also has what all parts share: up, down and
ends, the chances that a rate moves a rung of the ladder or ends in a period, and level, demands that come for each expected. Without --json the answer is CSV.
`

const COLUMNS = [
  ...['id', 'periods', 'class', 'adi', 'cv2', 'croston', 'sba', 'tsb', 'ses', 'rate', 'learned_from', 'is_new'],
  ...['family', 'parameters', 'mean', 'variance', 'p50', 'p90', 'p95', 'p99'],
]

function partRow(part: SeriesPart, at: number, { rates, outlooks }: InstalledBase, horizon: number) {
  const { id, quantities } = part
  const shape = demandShape(quantities)
  const ahead = outlooks[at]!(horizon)
  const rate = rates[at]!
  return {
    id,
    periods: quantities.length,
    class: shape?.class ?? null,
    adi: shape?.adi ?? null,
    cv2: shape?.cv2 ?? null,
    croston: croston(quantities).perPeriod,
    sba: sba(quantities),
    tsb: tsb(quantities)?.perPeriod ?? null,
    ses: ses(quantities),
    rate: rate.rate,
    learned_from: rate.learnedFrom,
    is_new: rate.isNew,
    family: ahead.family,
    parameters: ahead.parameters,
    mean: ahead.mean,
    variance: ahead.variance,
    p50: ahead.quantile(0.5),
    p90: ahead.quantile(0.9),
    p95: ahead.quantile(0.95),
    p99: ahead.quantile(0.99),
  }
}

/**
 * `cotterbook demand CSV`: class, forecasts and the distribution of what is to come, for each part of a file of past demand. No
 * database is needed. Null where the file is wrong, which has been said then.
 */
export async function demandCommand(path: string, horizon: number, said: SeriesSaid): Promise<Answer | null> {
  const read = await seriesFile(path, said)
  if (!read) return null
  const { parts, periods } = read
  const base = installedBase(parts)
  const rows = parts.map((part, at) => partRow(part, at, base, horizon))
  const spelled = rows.map(({ parameters, ...row }) => ({
    ...row,
    parameters: Object.entries(parameters)
      .map(([name, value]) => `${name}=${value}`)
      .join(';'),
  }))
  return {
    status: EXIT.fine,
    json: { horizon, periods, up: base.up, down: base.down, ends: base.ends, level: base.level, parts: rows },
    text: stringify(spelled, {
      header: true,
      columns: COLUMNS,
      cast: { boolean: (value) => (value ? 'yes' : 'no') },
    }).trimEnd(),
  }
}

/** Whole periods from 1; null where it is none. */
export function horizonAsked(text: string): number | null {
  return /^[1-9]\d{0,2}$/.test(text) ? Number(text) : null
}
