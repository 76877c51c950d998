import type { PartClass } from '../catalogue/part-class.ts'
import { Refusal } from '../refusal.ts'

/** first comes off before then. */
export interface StripEdge {
  first: string
  then: string
}

/** What the order needs to know of a parts list line; `attaches` is the item it holds. */
export interface StripLine {
  item: string
  attaches?: string
  partClass?: PartClass
  facts?: { seals?: readonly string[] | undefined; sitsOn?: string | undefined }
}

export interface StripStep {
  item: string
  target: boolean
  /** In words for the job card: "target", "in the way of 7", "holds 7", "sits on 7". */
  why: string
  /**
   * Items that cannot come off before this one, target or in the way themselves; in list order. Of what sits on a target and moves
   * to the new one: that target.
   */
  inTheWayOf: string[]
  /** Of a seal that is in nobody's way: what comes off it, so that its joint is open all the same; in list order. */
  openedBy?: string[]
  /** Of such a seal: other items it lies under, which stay on. One washer under each of two plugs is one list line. */
  alsoUnder?: string[]
}

export interface StripPlan {
  steps: StripStep[]
  /** The same items in the order they go back. */
  rebuild: string[]
}

/** Item numbers are compared without case and spaces: 12a is 12A. */
export function itemKey(item: string): string {
  // Nearly every item is a plain number, and plans ask thousands of times.
  for (let at = 0; at < item.length; at++) {
    const sign = item.charCodeAt(at)
    if (sign < 48 || sign > 57) return item.replace(/\s+/g, '').toUpperCase()
  }
  return item
}

/** The order a parts list is printed in: 2 before 10, 12 before 12A; ties by plain text. */
export function itemCompare(a: string, b: string): number {
  const [, numberA = '', restA = ''] = /^(\d*)(.*)$/.exec(itemKey(a)) ?? []
  const [, numberB = '', restB = ''] = /^(\d*)(.*)$/.exec(itemKey(b)) ?? []
  const known = Number(numberA === '') - Number(numberB === '')
  return known || Number(numberA) - Number(numberB) || (restA < restB ? -1 : restA > restB ? 1 : 0)
}

interface Graph {
  /** Items as the list spells them, in list order. */
  items: string[]
  index: Map<string, number>
  before: Set<number>[]
  after: Set<number>[]
}

function graphOf(edges: readonly (StripEdge & { where: string })[], items: readonly string[]): Graph {
  const index = new Map<string, number>()
  const spelled: string[] = []
  for (const item of items) {
    if (index.has(itemKey(item))) continue
    index.set(itemKey(item), spelled.length)
    spelled.push(item)
  }
  const graph: Graph = {
    items: spelled,
    index,
    before: spelled.map(() => new Set()),
    after: spelled.map(() => new Set()),
  }
  for (const { first, then, where } of edges) {
    const from = numberOf(graph, first, where)
    const to = numberOf(graph, then, where)
    graph.after[from]!.add(to)
    graph.before[to]!.add(from)
  }
  return graph
}

function numberOf(graph: Graph, item: string, where: string): number {
  const found = graph.index.get(itemKey(item))
  if (found === undefined) throw new Refusal('figure/unknown-item', { item, where })
  return found
}

/** Kahn's order over `wanted`, always the item that stands first in the list among those free to come off. */
function sorted(graph: Graph, wanted: ReadonlySet<number>): number[] {
  const waiting = new Map([...wanted].map((i) => [i, [...graph.before[i]!].filter((j) => wanted.has(j)).length]))
  const free = [...wanted].filter((i) => waiting.get(i) === 0).sort((a, b) => b - a)
  const order: number[] = []
  for (let i = free.pop(); i !== undefined; i = free.pop()) {
    order.push(i)
    for (const next of graph.after[i]!) {
      const left = waiting.get(next)
      if (left === undefined) continue
      waiting.set(next, left - 1)
      if (left === 1) insertDescending(free, next)
    }
  }
  return order
}

function insertDescending(list: number[], value: number): void {
  let low = 0
  let high = list.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (list[middle]! > value) low = middle + 1
    else high = middle
  }
  list.splice(low, 0, value)
}

/** A loop among items that Kahn's order could not place: each of them has one such item before it, so walking back must close. */
function loopAmong(graph: Graph, stuck: ReadonlySet<number>): number[] {
  const seen = new Map<number, number>()
  const path: number[] = []
  let at = Math.min(...stuck)
  while (!seen.has(at)) {
    seen.set(at, path.length)
    path.push(at)
    at = Math.min(...[...graph.before[at]!].filter((i) => stuck.has(i)))
  }
  const loop = path.slice(seen.get(at)).reverse()
  const lowest = loop.indexOf(Math.min(...loop))
  return [...loop.slice(lowest), ...loop.slice(0, lowest)]
}

/** Items of a loop, first and last the same; null when the graph can be worked through. */
function loopIn(graph: Graph): string[] | null {
  const all = new Set(graph.items.keys())
  const order = sorted(graph, all)
  if (order.length === graph.items.length) return null
  const placed = new Set(order)
  const loop = loopAmong(graph, new Set([...all].filter((i) => !placed.has(i))))
  return [...loop, loop[0]!].map((i) => graph.items[i]!)
}

function refuseLoop(graph: Graph): void {
  const loop = loopIn(graph)
  if (loop !== null) throw new Refusal('figure/strip-cycle', { loop: loop.join(' before ') })
}

/**
 * The items of `lines` in an order that can be worked through, as near to the one they stand in as the steps allow: among those
 * free to come off the first goes first. Or the loop that stands in the way, first and last item the same.
 */
export function stripSorted(
  edges: readonly StripEdge[],
  lines: readonly StripLine[],
): { order: string[]; loop: null } | { order: null; loop: string[] } {
  const graph = graphOf(
    [...declared(edges), ...attaching(lines)],
    lines.map((line) => line.item),
  )
  const loop = loopIn(graph)
  if (loop !== null) return { order: null, loop }
  return { order: sorted(graph, new Set(graph.items.keys())).map((i) => graph.items[i]!), loop: null }
}

function declared(edges: readonly StripEdge[]): (StripEdge & { where: string })[] {
  return edges.map(({ first, then }) => ({ first, then, where: `strip order ${first} before ${then}` }))
}

function attaching(lines: readonly StripLine[]): (StripEdge & { where: string })[] {
  return lines.flatMap(({ item, attaches }) =>
    attaches === undefined ? [] : [{ first: item, then: attaches, where: `held by ${item}` }],
  )
}

/**
 * Says whether the strip order of a figure can be followed.
 * Refuses items the list does not have (figure/unknown-item) and an order that runs in a circle (figure/strip-cycle), loop spelled out.
 */
export function stripOrderCheck(edges: readonly StripEdge[], items: readonly string[]): void {
  refuseLoop(graphOf(declared(edges), items))
}

/** The same for a figure whose attaching parts count as well: what holds a part comes off before it. */
export function stripOrderCheckLines(edges: readonly StripEdge[], lines: readonly StripLine[]): void {
  const items = lines.map((line) => line.item)
  refuseLoop(graphOf([...declared(edges), ...attaching(lines)], items))
}

/** Sealing parts that lie loose on the face of a joint and are used up once it opens. A lip seal sits pressed in its bore and stays. */
const FACE_SEALS: ReadonlySet<PartClass> = new Set(['crush-washer', 'gasket', 'o-ring', 'sealing-washer'])

/**
 * Seals whose joint opens although nobody needs them out of the way: the sealing washer under a drain plug, the gasket under a
 * cover. By number, with what opens them. A line that says what it `seals` is taken at its word; else a face seal belongs to what
 * comes off right before it.
 */
function sealsOpened(
  graph: Graph,
  lines: readonly StripLine[],
  disturbed: ReadonlySet<number>,
  missing: ReadonlySet<number>,
): Map<number, Set<number>> {
  const opened = new Map<number, Set<number>>()
  for (const { item, partClass, facts } of lines) {
    const seal = graph.index.get(itemKey(item))!
    if (disturbed.has(seal)) continue
    const named = facts?.seals?.flatMap((other) => graph.index.get(itemKey(other)) ?? [])
    if (named === undefined && (partClass === undefined || !FACE_SEALS.has(partClass))) continue
    const by = [...(named ?? graph.before[seal]!)].filter((i) => disturbed.has(i) && !missing.has(i))
    if (by.length > 0) opened.set(seal, new Set([...(opened.get(seal) ?? []), ...by]))
  }
  return opened
}

/**
 * Everything that must be disturbed to get at the targets, in the order it comes off, each step once, and the rebuild.
 * Seals whose joint is opened on the way are steps as well, under what comes off them.
 * `lines` stand in list order (or in the order of the explosion): among parts free to come off the first in the list goes first.
 * What sits on a target (`sitsOn`) moves to the new one, and so comes off as well, with what is in its way; what sits on something
 * that only comes off stays on it.
 * `absent` names items of the figure that this machine does not have (serial break): order passes through them, they are no step.
 * Refuses unknown items and circles. Example: split pin 1 holds nut 2, nut 2 before drum 3: target 3 gives 1, 2, 3.
 */
export function stripPlan(input: {
  edges: readonly StripEdge[]
  lines: readonly StripLine[]
  targets: readonly string[]
  absent?: readonly string[]
}): StripPlan {
  const absent = (input.absent ?? []).filter(
    (item) => !input.lines.some((line) => itemKey(line.item) === itemKey(item)),
  )
  const items = [...input.lines.map((line) => line.item), ...absent]
  const holds = attaching(input.lines)
  const graph = graphOf([...declared(input.edges), ...holds], items)
  refuseLoop(graph)

  const missing = new Set(absent.map((item) => graph.index.get(itemKey(item))!))
  const targets = new Set(input.targets.map((item) => numberOf(graph, item, 'target')))
  for (const i of targets) {
    if (missing.has(i)) throw new Refusal('figure/unknown-item', { item: graph.items[i]!, where: 'target' })
  }
  const carriers = sittersOf(graph, input.lines, targets)
  const disturbed = new Set([...targets, ...carriers.keys()])
  const open = [...disturbed]
  for (let i = open.pop(); i !== undefined; i = open.pop()) {
    for (const j of graph.before[i]!) {
      if (disturbed.has(j)) continue
      disturbed.add(j)
      open.push(j)
    }
  }

  const held = new Set(
    holds.map(({ first, then }) => `${graph.index.get(itemKey(first))} ${graph.index.get(itemKey(then))}`),
  )
  const opened = sealsOpened(graph, input.lines, disturbed, missing)
  const steps = sorted(graph, new Set([...disturbed, ...opened.keys()]))
    .filter((i) => !missing.has(i))
    .map((i): StripStep => {
      const by = [...(opened.get(i) ?? [])].sort((a, b) => a - b).map((j) => graph.items[j]!)
      if (by.length > 0) return openedStep(graph, i, { by, lines: input.lines, disturbed, missing })
      const blocked = nextPresent(graph, i, disturbed, missing)
      const carrier = targets.has(i) ? undefined : carriers.get(i)
      if (carrier !== undefined) {
        const item = graph.items[i]!
        const on = [...new Set([carrier, ...blocked])].sort((a, b) => a - b).map((j) => graph.items[j]!)
        return { item, target: false, why: `sits on ${graph.items[carrier]}`, inTheWayOf: on }
      }
      const names = blocked.map((j) => graph.items[j]!)
      const onlyHolds = blocked.every((j) => held.has(`${i} ${j}`))
      const why = targets.has(i) ? 'target' : `${onlyHolds ? 'holds' : 'in the way of'} ${names.join(', ')}`
      return { item: graph.items[i]!, target: targets.has(i), why, inTheWayOf: names }
    })
  return { steps, rebuild: steps.map((step) => step.item).reverse() }
}

/** What sits on targets and moves to the new ones: by number, with the number of its target. */
function sittersOf(graph: Graph, lines: readonly StripLine[], targets: ReadonlySet<number>): Map<number, number> {
  return new Map(
    lines.flatMap(({ item, facts }) => {
      const carrier = facts?.sitsOn === undefined ? undefined : graph.index.get(itemKey(facts.sitsOn))
      const sitter = graph.index.get(itemKey(item))!
      return carrier === undefined || !targets.has(carrier) || targets.has(sitter) ? [] : [[sitter, carrier] as const]
    }),
  )
}

function openedStep(
  graph: Graph,
  seal: number,
  job: {
    by: string[]
    lines: readonly StripLine[]
    disturbed: ReadonlySet<number>
    missing: ReadonlySet<number>
  },
): StripStep {
  const item = graph.items[seal]!
  const isNamed = job.lines.some((line) => itemKey(line.item) === itemKey(item) && line.facts?.seals !== undefined)
  const stay = isNamed ? [] : [...graph.before[seal]!].filter((i) => !job.disturbed.has(i) && !job.missing.has(i))
  return {
    item,
    target: false,
    why: `under ${job.by.join(', ')}`,
    inTheWayOf: [],
    openedBy: job.by,
    ...(stay.length > 0 ? { alsoUnder: stay.sort((a, b) => a - b).map((i) => graph.items[i]!) } : {}),
  }
}

/** Direct followers within the job; one that this machine lacks stands for its own followers. */
function nextPresent(
  graph: Graph,
  from: number,
  disturbed: ReadonlySet<number>,
  missing: ReadonlySet<number>,
): number[] {
  const found = new Set<number>()
  const passed = new Set<number>()
  const open = [...graph.after[from]!]
  for (let i = open.pop(); i !== undefined; i = open.pop()) {
    if (!disturbed.has(i) || passed.has(i)) continue
    passed.add(i)
    if (missing.has(i)) open.push(...graph.after[i]!)
    else found.add(i)
  }
  return [...found].sort((a, b) => a - b)
}
