import * as mowerGearbox from './mower-gearbox.ts'
import * as mowerRotor from './mower-rotor.ts'
import type { FigurePage } from './page.ts'
import * as sprayerPump from './sprayer-pump.ts'
import * as trailerHubBrake from './trailer-hub-brake.ts'

/** Every drawn page of the demo's parts books. Drawing one takes a second or so, so each is a function to call when wanted. */
export const FIGURES: readonly { slug: string; figure: () => FigurePage }[] = [
  { slug: 'mower-rotor', figure: mowerRotor.figure },
  { slug: 'mower-gearbox', figure: mowerGearbox.figure },
  { slug: 'sprayer-pump', figure: sprayerPump.figure },
  { slug: 'trailer-hub-brake', figure: trailerHubBrake.figure },
]
