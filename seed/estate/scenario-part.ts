import type { PartOnFile } from '../../lib/companion/suggest.ts'
import type { EstateOffer } from './offers.ts'
import type { Criticality } from './part.ts'

/** A part as the demo's catalogue has it, with where it lies and who sells it. */
export interface ScenarioPart extends PartOnFile {
  maker: string
  priceMinor: number
  criticality: Criticality
  offer: EstateOffer
  /** Bins in the order of the walk; the first is where deliveries go. */
  bins: readonly number[]
  vanBin: number | null
  /** Replaced by another: bought no more. */
  old: boolean
}
