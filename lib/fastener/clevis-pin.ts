import { Refusal } from '../refusal.ts'
import table from './clevis-pin.json'

export interface ClevisPinSize {
  pinMm: number
  splitPinHoleMm: number
  /** From the end of the pin to the middle of the hole, at least. */
  endToHoleMmMin: number
  headMm: number
  headHeightMm: number
}

/** Dimensions in mm of a clevis pin with head and split pin hole (ISO 2341 form B). Refuses diameters it does not list. */
export function clevisPinSize(pinMm: number): ClevisPinSize {
  const size = table.sizes.find((row) => row.pinMm === pinMm)
  if (!size) throw new Refusal('fastener/no-size', { standard: 'ISO 2341', what: `a clevis pin of ${pinMm} mm` })
  return size
}
