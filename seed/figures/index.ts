import * as beltDrive from './belt-drive.ts'
import * as cylinder from './cylinder.ts'
import * as filters from './filters.ts'
import * as frontHub from './front-hub.ts'
import * as mowerGearbox from './mower-gearbox.ts'
import * as mowerRotor from './mower-rotor.ts'
import type { FigurePage } from './page.ts'
import * as parkingBrake from './parking-brake.ts'
import * as ptoShaft from './pto-shaft.ts'
import * as shredderRotor from './shredder-rotor.ts'
import * as sprayerFan from './sprayer-fan.ts'
import * as sprayerPump from './sprayer-pump.ts'
import * as trailerHubBrake from './trailer-hub-brake.ts'
import * as waterPump from './water-pump.ts'

interface Drawn {
  slug: string
  /** Draws it anew, which takes a second or so. */
  draw: () => FigurePage
  /** The same, drawn once in this process; nobody writes into it. */
  figure: () => FigurePage
}

function once(slug: string, draw: () => FigurePage): Drawn {
  let made: FigurePage | undefined
  return { slug, draw, figure: () => (made ??= draw()) }
}

/** Every drawn page of the demo's parts books. */
export const FIGURES: readonly Drawn[] = [
  once('mower-rotor', mowerRotor.figure),
  once('mower-gearbox', mowerGearbox.figure),
  once('sprayer-pump', sprayerPump.figure),
  once('trailer-hub-brake', trailerHubBrake.figure),
  once('pto-shaft', ptoShaft.figure),
  once('cylinder', cylinder.figure),
  once('front-hub', frontHub.figure),
  once('filters', filters.figure),
  once('belt-drive', beltDrive.figure),
  once('water-pump', waterPump.figure),
  once('shredder-rotor', shredderRotor.figure),
  once('sprayer-fan', sprayerFan.figure),
  once('parking-brake', parkingBrake.figure),
]

/** One of them, drawn once in this process. Throws where there is no such page. */
export function pageDrawn(slug: string): FigurePage {
  const drawn = FIGURES.find((one) => one.slug === slug)
  if (!drawn) throw new Error(`no page is called ${slug}`)
  return drawn.figure()
}
