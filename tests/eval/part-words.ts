import { type Random, randomChance, randomInteger, randomPick } from '../../lib/maths/random.ts'
import type { PrintedRow } from './table.ts'

const NAMES = [
  'Bracket',
  'Side plate',
  'Bearing housing',
  'Drive shaft',
  'Distance piece',
  'Spring',
  'Lever',
  'Guard',
  'Clamp',
  'Gear wheel',
  'Roller',
  'Flange',
  'Cover',
  'Key',
  'Hinge pin',
  'Yoke',
  'Tie rod',
  'Stop',
  'Bush',
  'Chain wheel',
  'Gasket',
  'Shim',
] as const
const FASTENERS = [
  'Hex bolt',
  'Hex nut',
  'Washer',
  'Split pin',
  'Grub screw',
  'Socket screw',
  'Spring washer',
  'Circlip',
] as const
const QUALITIES = [
  'left',
  'right',
  'upper',
  'lower',
  'welded',
  'galvanised',
  'with bush',
  'front',
  'rear',
  'outer',
] as const

/** A row of an invented parts list. */
export function partRow(item: string, random: Random): PrintedRow {
  const fastener = randomChance(random, 0.35)
  const size = `M${randomPick(random, [5, 6, 8, 10, 12, 16, 20])}`
  const description = fastener
    ? `${randomPick(random, FASTENERS)} ${size}${randomChance(random, 0.5) ? ` x ${randomInteger(random, 2, 14) * 5}` : ''}`
    : randomChance(random, 0.5)
      ? `${randomPick(random, NAMES)}, ${randomPick(random, QUALITIES)}`
      : randomPick(random, NAMES)
  const digits = (from: number, to: number) => String(randomInteger(random, from, to))
  const partNumber = randomPick(random, [
    () => `QB-${digits(1000, 9999)}-${digits(10, 99)}`,
    () => `${digits(10, 99)}.${digits(100, 999)}.${digits(1, 9)}`,
    () => `HK${digits(10000, 99999)}${randomPick(random, ['', 'A', 'B'])}`,
    () => digits(1000000, 9999999),
  ])()
  const required = randomChance(random, 0.05)
  return {
    item,
    partNumber,
    description,
    quantity: required ? null : fastener ? randomInteger(random, 2, 24) : randomInteger(random, 1, 4),
    quantityNote: required ? 'AR' : '',
    remarks: '',
    level: 1,
  }
}
