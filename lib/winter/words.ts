import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { BuyGroup, BuyPart } from './buy-list.ts'
import { type ChoiceCurve, choiceAt, choiceNext } from './choice.ts'
import type { SureWait } from './late.ts'
import type { OrderLots } from './lots.ts'
import type { WinterWork } from './plan.ts'

/** "93 %"; never "100 %" for what is not certain, nor "0 %" for what may happen. */
export function chanceWords(chance: number): string {
  if (chance === 0 || chance === 1) return `${chance * 100} %`
  if (chance > 0.9995) return 'over 99.9 %'
  if (chance < 0.005) return 'under 1 %'
  return chance >= 0.985 ? `${(chance * 100).toFixed(1)} %` : `${Math.round(chance * 100)} %`
}

/** Whole pounds where there are no pence: £3,400; £3,400.50. */
export function moneyWords(minor: number, currency: string): string {
  return moneyFormat(minor, currency).replace(/\.00$/, '')
}

/** Below this a chance that none waits says little of how many do. */
const RARE = 0.005

/** "Expected to wait for a part: 2.4 of 14 machines as things stand, 0.3 with the list bought." */
export function waitingSays(machines: readonly { now: number; bought: number }[]): string {
  const waiting = (of: 'now' | 'bought') => {
    const sum = machines.reduce((all, machine) => all + 1 - machine[of], 0)
    return sum < 0.05 ? 'none' : sum < 10 ? sum.toFixed(1) : String(Math.round(sum))
  }
  return `Expected to wait for a part: ${waiting('now')} of ${counted(machines.length, 'machine')} as things stand, ${waiting('bought')} with the list bought.`
}

/** "waits until 22 Dec 2026 for FM-210"; "waits for FM-500" where it is not to be had. */
export function waitSays({ part, until }: Pick<SureWait, 'part' | 'until'>): string {
  return until === null ? `waits for ${part}` : `waits until ${dateSays(until)} for ${part}`
}

/** Machines that a sentence names; of more it says how many. */
const WAITS_NAMED = 3

/** "W-01 waits until 22 Dec 2026 for FM-210 and W-03 waits for FM-500 whatever is bought" */
export function waitsSay(waits: readonly SureWait[]): string {
  const more = waits.length - WAITS_NAMED
  const said = [
    ...waits.slice(0, WAITS_NAMED).map((one) => `${one.machine} ${waitSays(one)}`),
    ...(more > 0 ? [`${counted(more, 'more machine waits', 'more machines wait')}`] : []),
  ]
  const last = said.pop()!
  return `${said.length === 0 ? last : `${said.join(', ')} and ${last}`} whatever is bought`
}

/**
 * "For £3,400 the chance that no machine waits for a part is 93 %; £600 more makes it 97 %." What the curve leaves out is said
 * with it: "the chance that no other machine waits for a part is 93 %, but W-01 waits until 22 Dec 2026 for FM-210 whatever is
 * bought; £600 more makes the chance 97 %."
 */
export function choiceSays(
  curve: ChoiceCurve,
  budgetMinor: number,
  currency: string,
  waits: readonly SureWait[] = [],
): string {
  const point = choiceAt(curve, budgetMinor)
  const next = choiceNext(curve, point)
  const isSure = waits.length > 0
  const bought = point.spentMinor === 0 ? 'With nothing bought' : `For ${moneyWords(point.spentMinor, currency)}`
  const chance = `the chance that no ${isSure ? 'other ' : ''}machine waits for a part is ${chanceWords(point.readiness)}`
  const begins = `${bought} ${chance}${isSure ? `, but ${waitsSay(waits)}` : ''}`
  if (next === null && point.readiness < RARE && point.count < curve.steps.length)
    return isSure
      ? `${begins}; nearly always some other waits too, and more money makes it fewer.`
      : `${begins}: nearly always some machine waits, and more money makes it fewer.`
  const it = isSure ? 'the chance' : 'it'
  if (next === null) return `${begins}; more money does not raise ${it} by anything that can be told.`
  const more = moneyWords(next.budgetMinor - point.spentMinor, currency)
  return `${begins}; ${more}${point.spentMinor === 0 ? '' : ' more'} makes ${it} ${chanceWords(next.readiness)}.`
}

/** "Of £600, £88.11 is ordered and £437.83 in drafts: £74.06 left." '' before anything was ordered. */
export function boundSays(money: {
  budgetMinor: number
  orderedMinor: number
  draftedMinor: number
  currency: string
}): string {
  const { budgetMinor, orderedMinor, draftedMinor, currency } = money
  if (orderedMinor + draftedMinor === 0) return ''
  const say = (minor: number) => moneyWords(minor, currency)
  const bound = [
    ...(orderedMinor > 0 ? [`${say(orderedMinor)} is ordered`] : []),
    ...(draftedMinor > 0 ? [`${say(draftedMinor)}${orderedMinor > 0 ? '' : ' is'} in drafts`] : []),
  ].join(' and ')
  const left = budgetMinor - orderedMinor - draftedMinor
  return `Of ${say(budgetMinor)}, ${bound}: ${left >= 0 ? `${say(left)} left` : `${say(-left)} over it`}.`
}

/** Why a line is on the list: "3 in any case, 4.8 expected, 7 are enough 95 times of 100; 2 there or on order, 1 in a draft". */
export function buyReason(part: Pick<BuyPart, 'certain' | 'mean' | 'enough' | 'stock' | 'drafts' | 'unit'>): string {
  const show = (minor: number) => quantityFormat(minor, part.unit)
  const sure = part.certain > 0 ? `${show(part.certain)} in any case, ` : ''
  const isSure = Math.abs(part.mean - part.certain) < 1e-9 && part.enough === part.certain
  const mean = part.unit === 'each' ? part.mean.toFixed(1) : show(Math.round(part.mean))
  const most = isSure ? 'no more' : `${mean} expected, ${show(part.enough)} enough 95 times of 100`
  const drafted = part.drafts.reduce((sum, { quantity }) => sum + quantity, 0)
  const there = part.stock - drafted
  return `${sure}${most}; ${there === 0 ? 'none' : show(there)} there or on order${drafted === 0 ? '' : `, ${show(drafted)} in a draft`}`
}

/** Reasons that a line of the list names, those of most machines first. */
const REASONS_MOST = 3

/** Why parts are taken that no list names, by part: "goes with 10 Bearing: a new bearing gets a new seal (3 machines)". */
export function goesWithSays(works: readonly Pick<WinterWork, 'machineId' | 'wants'>[]): Map<number, string[]> {
  const machines = new Map<number, Map<string, Set<number>>>()
  for (const { machineId, wants } of works)
    for (const { partId, goesWith } of wants) {
      if (goesWith === undefined) continue
      const reasons = machines.get(partId) ?? new Map<string, Set<number>>()
      machines.set(partId, reasons.set(goesWith, (reasons.get(goesWith) ?? new Set()).add(machineId)))
    }
  return new Map(
    [...machines].map(([partId, reasons]) => {
      const said = [...reasons]
        .sort(([a, x], [b, y]) => y.size - x.size || (a < b ? -1 : 1))
        .map(([reason, on]) => `${reason}${on.size === 1 ? '' : ` (${counted(on.size, 'machine')})`}`)
      const more = said.length - REASONS_MOST
      return [partId, more <= 0 ? said : [...said.slice(0, REASONS_MOST), `and ${counted(more, 'more reason')}`]]
    }),
  )
}

/**
 * What to do about an order below the least of its supplier: "£12 of goods are missing to the least order. …"
 * `reachesMinor`: the budget with which the list gets there by itself; null where none does.
 */
export function belowSays(
  { missingMinor, lines }: Pick<BuyGroup, 'missingMinor' | 'lines'>,
  reachesMinor: number | null,
  currency: string,
): string {
  const others = new Map<string, string[]>()
  for (const { part } of lines)
    for (const name of part.others) others.set(name, [...(others.get(name) ?? []), part.number])
  const elsewhere = [...others].map(([name, numbers]) =>
    numbers.length === lines.length ? `${name} sells all of it` : `${name} sells ${numbers.join(', ')}`,
  )
  return [
    `▲ ${moneyWords(missingMinor, currency)} of goods are missing to the least order of this supplier.`,
    reachesMinor === null
      ? 'Add to it by hand under “Change”,'
      : `Add to it by hand under “Change” or with a budget of ${moneyWords(reachesMinor, currency)},`,
    elsewhere.length === 0
      ? 'or order anyway: they may refuse it or ask more.'
      : `make another the preferred supplier (${elsewhere.join('; ')}), or order anyway: they may refuse it or ask more.`,
  ].join(' ')
}

/**
 * Into how many orders a list is best parted: "In 2 orders £14 cheaper than all at once: £812 by 2 Dec 2026, the rest (£640,
 * needed from 18 Jan 2027) by 4 Jan 2027." The saving in whole units, rounded down.
 */
export function lotsSays({ lots, savingMinor, tiedMinor }: OrderLots, today: PlainDate, currency: string): string {
  if (lots.length === 1)
    return tiedMinor === 0
      ? 'All at once is cheapest.'
      : `All at once is cheapest: money tied up in what could be ordered later costs ${moneyWords(tiedMinor, currency)}.`
  const parts = lots.map(({ on, goodsMinor, carriageMinor, neededOn }, at) => {
    const carriage = carriageMinor === 0 ? '' : ` and ${moneyWords(carriageMinor, currency)} carriage`
    const goods = `${moneyWords(goodsMinor, currency)}${carriage}`
    const by = on === today ? 'today' : `by ${dateSays(on)}`
    if (at === 0) return `${goods} ${by}`
    const more = `needed from ${dateSays(neededOn)}`
    return at === lots.length - 1 ? `the rest (${goods}, ${more}) ${by}` : `${goods} (${more}) ${by}`
  })
  const saves = moneyWords(Math.floor(savingMinor / 100) * 100, currency)
  return `In ${counted(lots.length, 'order')} ${saves} cheaper than all at once: ${parts.join(', ')}.`
}

/** By what the failures of the season are foreseen; '' where none are. */
export function runningSays(running: { bySeason: number; byYear: number } | null): string {
  if (running === null) return ''
  const { bySeason, byYear } = running
  if (bySeason + byYear === 0)
    return 'Failures are foreseen as over the whole year: no hour meter tells how machines run.'
  if (bySeason === 0)
    return 'Failures are foreseen by how machines run over the whole year: no readings tell how they ran in these months of earlier years.'
  const begin = `Failures are foreseen for the hours that ${counted(bySeason, 'machine')} ran in these months of earlier years`
  return byYear === 0
    ? `${begin}.`
    : `${begin}; of ${counted(byYear, 'machine')} the whole year counts, for want of readings.`
}
