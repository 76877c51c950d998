import type { PartClass } from '../../lib/catalogue/part-class.ts'

/** Invented makers: first and second halves joined, so that a large parts file has as many makers as a real one. */
const FIRST = [
  'Thornley',
  'Wexcombe',
  'Harrowgill',
  'Penmarsh',
  'Ostrel',
  'Quarndon',
  'Brackwell',
  'Dunmere',
  'Fellbeck',
]
const SECOND = ['& Pike', 'Ironworks', 'Farmtech', 'Hydraulik', 'Drives', 'Bearings', 'Sprayers']
export const MAKERS = FIRST.flatMap((first) => SECOND.map((second) => `${first} ${second}`))

/** What parts are called in a parts book, with the class that goes with it. */
export const NOUNS: readonly (readonly [string, PartClass])[] = [
  ['split pin', 'split-pin'],
  ['taper roller bearing', 'bearing'],
  ['ball bearing', 'bearing'],
  ['oil seal', 'oil-seal'],
  ['O-ring', 'o-ring'],
  ['brake shoe', 'brake-shoe'],
  ['return spring', 'return-spring'],
  ['castle nut', 'castle-nut'],
  ['hexagon bolt', 'bolt'],
  ['washer', 'other'],
  ['circlip', 'circlip'],
  ['V-belt', 'other'],
  ['flail knife', 'flail-knife'],
  ['hose clip', 'hose-clamp'],
  ['grease nipple', 'grease-nipple'],
  ['clevis pin', 'clevis-pin'],
  ['diaphragm', 'diaphragm'],
  ['gasket', 'gasket'],
  ['pulley', 'pulley'],
  ['bush', 'bush'],
  ['bracket', 'other'],
  ['wheel stud', 'other'],
  ['filter element', 'filter'],
  ['shaft', 'other'],
  ['gear', 'gear'],
  ['housing', 'housing'],
  ['cover', 'cover'],
  ['spacer', 'other'],
]

export const QUALITIES = [
  'inner',
  'outer',
  'front',
  'rear',
  'upper',
  'lower',
  'left',
  'right',
  'short',
  'long',
  'heavy',
  'plain',
]
export const ASSEMBLIES = [
  'Hub and drum brake',
  'Rotor',
  'Gearbox',
  'Diaphragm pump',
  'Drive shaft',
  'Belt drive',
  'Steering',
  'Boom',
]

/** What a mechanic writes as the complaint: where, and what it does. */
export const WHERE = ['brake', 'hub', 'gearbox', 'rotor', 'pump', 'drive shaft', 'boom', 'steering']
export const SYMPTOMS = [
  'binds',
  'drags and gets hot',
  'rumbles at speed',
  'leaks oil',
  'shakes after a stone',
  'squeals at start',
  'slips under load',
  'knocks when it turns',
  'has play',
]
