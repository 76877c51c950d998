import { Refusal } from '../refusal.ts'
import table from './cotter-inch.json'

/** Split pins of inch machines; the US trade calls them cotter pins. Sizes are inches, as written: 5/32. */
export interface CotterInch {
  nominalIn: string
  shankInMin: number
  shankInMax: number
  /** Drill for the hole, recommended. */
  holeIn: number
}

function noSize(what: string): Refusal {
  return new Refusal('fastener/no-size', { standard: 'ASME B18.8.1', what })
}

export function cotterInchSize(nominalIn: string): CotterInch {
  const size = table.cotters.find((row) => row.nominalIn === nominalIn)
  if (!size) throw noSize(`a cotter pin of ${nominalIn} in`)
  return size
}

/** Cotter and hole limits for an inch clevis pin (ASME B18.8.1). Example: 1/2 takes a 1/8. */
export function cotterInchForClevis(pinIn: string) {
  const row = table.clevisPins.find((pin) => pin.pinIn === pinIn)
  if (!row) throw noSize(`a clevis pin of ${pinIn} in`)
  return { cotter: cotterInchSize(row.cotterIn), holeInMin: row.holeInMin, holeInMax: row.holeInMax }
}

/** Cotter for an inch bolt with a slotted nut (Machinery's Handbook, from memory). Example: 3/4 takes a 5/32. */
export function cotterInchForBolt(threadIn: string): CotterInch {
  const row = table.bolts.find((bolt) => bolt.threadIn === threadIn)
  if (!row) throw noSize(`a bolt of ${threadIn} in`)
  return cotterInchSize(row.cotterIn)
}
