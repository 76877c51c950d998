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

/** Every drawn page of the demo's parts books. Drawing one takes a second or so, so each is a function to call when wanted. */
export const FIGURES: readonly { slug: string; figure: () => FigurePage }[] = [
  { slug: 'mower-rotor', figure: mowerRotor.figure },
  { slug: 'mower-gearbox', figure: mowerGearbox.figure },
  { slug: 'sprayer-pump', figure: sprayerPump.figure },
  { slug: 'trailer-hub-brake', figure: trailerHubBrake.figure },
  { slug: 'pto-shaft', figure: ptoShaft.figure },
  { slug: 'cylinder', figure: cylinder.figure },
  { slug: 'front-hub', figure: frontHub.figure },
  { slug: 'filters', figure: filters.figure },
  { slug: 'belt-drive', figure: beltDrive.figure },
  { slug: 'water-pump', figure: waterPump.figure },
  { slug: 'shredder-rotor', figure: shredderRotor.figure },
  { slug: 'sprayer-fan', figure: sprayerFan.figure },
  { slug: 'parking-brake', figure: parkingBrake.figure },
]
