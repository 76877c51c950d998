import { readFile, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { RULES } from '../companion/rules/index.ts'
import { figureFileCheck } from '../figure/figure-file.ts'
import type { FigureFile } from '../figure/schema.ts'
import { placeSays, SHAFT_ENDS, type ShaftEnd } from '../figure/shaft-end.ts'
import { itemKey, stripPlan } from '../figure/strip-order.ts'
import { stripProposal } from '../figure/strip-proposal.ts'
import { jobPlan } from '../job/plan.ts'
import type { PlanFigure, PlanLine } from '../job/plan-figure.ts'
import { stepsAtEnds } from '../job/step-ends.ts'
import { linesAsStripped } from '../job/strip-notes.ts'
import { piecesAimed, targetPlaces } from '../job/target-places.ts'
import { quantityFormat, quantityScale } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type Answer, EXIT } from './answer.ts'

export interface StripOptions {
  target: string[]
  position: string[]
  json?: boolean
}

/** The figure file; a folder stands for the figure.json in it. Refuses with 'import/unreadable' and 'import/refused'. */
async function figureRead(path: string): Promise<FigureFile> {
  const isFolder = (await stat(path)).isDirectory()
  const file = isFolder ? join(path, 'figure.json') : path
  let json: unknown
  try {
    json = JSON.parse(await readFile(file, 'utf8'))
  } catch (error) {
    throw new Refusal('import/unreadable', { file, why: error instanceof Error ? error.message : 'it is no JSON' })
  }
  return figureFileCheck(json, file).file
}

/** The figure as a job plans it: no parts on file, so lines are known by their place in the list. */
function planFigure(file: FigureFile, strip: PlanFigure['strip']): PlanFigure {
  return {
    id: 1,
    number: file.number,
    title: file.title,
    positions: file.positions,
    lines: file.lines.map(
      (line, at): PlanLine => ({
        lineId: at + 1,
        item: line.item,
        partId: at + 1,
        partNumber: line.partNumber ?? '',
        description: line.description,
        quantity: Math.round(line.quantity * quantityScale(line.unit)),
        unit: line.unit,
        partClass: line.partClass,
        facts: line.facts,
        partFacts: line.partFacts,
        ...(line.attaches === undefined ? {} : { attaches: line.attaches }),
        ...(line.side === undefined ? {} : { side: line.side }),
        ...(line.orderItem === undefined ? {} : { orderItem: line.orderItem }),
      }),
    ),
    absentItems: [],
    strip,
    stripSteps: file.stripSteps,
    tests: file.tests,
  }
}

/** Codes as the figure spells them. Stations of a rotor and ends of its shaft are codes that the figure does not list. */
function positionsOf(
  file: FigureFile,
  asked: readonly string[],
  stations: number,
  ends: readonly ShaftEnd[],
): string[] {
  return [...new Set(asked)].map((code) => {
    const known = file.positions.find((position) => position.code.toUpperCase() === code.toUpperCase())
    if (known) return known.code
    if (/^\d+$/.test(code) && Number(code) >= 1 && Number(code) <= stations) return String(Number(code))
    const end = ends.find((one) => one === code.toUpperCase())
    if (end) return end
    const choice = [
      ...file.positions.map((position) => position.code),
      ...ends,
      ...(stations > 0 ? [`1 to ${stations}`] : []),
    ].join(', ')
    throw new Refusal('figure/no-position', { code, figure: file.number, choice: choice === '' ? 'none' : choice })
  })
}

/**
 * `cotterbook strip FIGURE --target ITEM --position LH`: what must come off to renew the items, in order, the rebuild, and what
 * else the job needs, each with its reason. No database is needed. A file without a strip order is answered with the proposal
 * from its drawing, and says so. Refuses with 'import/unreadable', 'import/refused', 'figure/unknown-item', 'figure/no-position'.
 */
export async function stripCommand(path: string, options: StripOptions): Promise<Answer> {
  const file = await figureRead(path)
  const proposal = file.stripOrder.length === 0 ? stripProposal(file) : null
  const figure = planFigure(file, proposal?.edges ?? file.stripOrder)
  const lineOf = (item: string) => figure.lines.find((line) => itemKey(line.item) === itemKey(item))
  const aimed = options.target.map((item) => {
    const line = lineOf(item)
    if (!line) throw new Refusal('figure/unknown-item', { item, where: `target, ${path}` })
    return line
  })
  const stations = Math.max(0, ...aimed.map((line) => line.facts.stations ?? 0))
  const endsOf = (line: PlanLine) => targetPlaces(file.positions, line.facts).ends
  const ends = SHAFT_ENDS.filter((end) => aimed.some((line) => endsOf(line).includes(end)))
  const positions = positionsOf(file, options.position, stations, ends)
  const targets = aimed.map((line) => {
    const own: readonly string[] = endsOf(line)
    const at = positions.filter((code) =>
      line.facts.stations === undefined
        ? own.includes(code) || file.positions.some((position) => position.code === code)
        : /^\d+$/.test(code),
    )
    const quantity = line.facts.stations === undefined ? piecesAimed(line, file.positions, at) : Math.max(1, at.length)
    return { figureId: figure.id, item: line.item, positions: at, quantity }
  })
  const lines = linesAsStripped(figure.lines, file.stripSteps)
  const order = stripPlan({ edges: figure.strip, lines, targets: targets.map((one) => one.item) })
  // With an end named, what sits at the other one stays on.
  const off = new Map(
    stepsAtEnds({ figure, order, targets, renewed: [], pairs: [] }).map(({ at }) => [at.item, at] as const),
  )
  const steps = order.steps.flatMap((step) => off.get(step.item) ?? [])
  const rebuild = steps.map((step) => step.item).reverse()
  const { suggestions, tests } = jobPlan({ figures: [figure], targets, rules: RULES, shelf: [] })
  const noteOf = new Map(file.stripSteps.map((step) => [itemKey(step.item), step]))
  const named = (item: string) => ({ item, description: lineOf(item)?.description ?? '' })
  const json = {
    figure: { number: file.number, title: file.title, model: `${file.model.maker} ${file.model.name}` },
    targets: targets.map(({ item, positions: at, quantity }) => ({ ...named(item), positions: at, quantity })),
    proposed: proposal === null ? null : { confidence: proposal.confidence, says: proposal.says },
    strip: steps.map((step) => {
      const { note, minutes } = noteOf.get(itemKey(step.item)) ?? {}
      return { ...named(step.item), target: step.target, why: step.why, note: note ?? null, minutes: minutes ?? null }
    }),
    rebuild: rebuild.map(named),
    companions: suggestions.map((one) => ({
      kind: one.kind,
      strength: one.strength,
      item: one.item,
      description: one.description,
      positions: one.positions,
      quantity: one.quantity / quantityScale(one.unit),
      unit: one.unit,
      reasons: one.reasons.map(({ ruleId, words, source, strength }) => ({ rule: ruleId, words, source, strength })),
    })),
    tests: tests.map((test) => test.text),
  }
  return { status: EXIT.fine, json, text: said(json, suggestions) }
}

function said(
  json: {
    figure: { number: string; title: string; model: string }
    proposed: { says: string } | null
    strip: { item: string; description: string; why: string; note: string | null }[]
    rebuild: { item: string }[]
    tests: string[]
  },
  suggestions: ReturnType<typeof jobPlan>['suggestions'],
): string {
  const { figure, proposed, strip, rebuild, tests } = json
  const also = suggestions.flatMap((one) => {
    const count = one.quantity > 0 ? `, ${quantityFormat(one.quantity, one.unit)}` : ''
    const at = one.positions.length > 0 ? ` (${one.positions.map(placeSays).join(', ')})` : ''
    return [
      `  ${one.strength.padEnd(8)} ${one.description}${at}${count}`,
      // An act is its own reason: what is left to say is where it is from.
      ...one.reasons.map(
        ({ words, source }) => `           ${words === one.description ? '' : `${words} `}[${source}]`,
      ),
    ]
  })
  return [
    `${figure.model}, figure ${figure.number}: ${figure.title}`,
    ...(proposed ? [`The file has no strip order; this one is proposed from the drawing. ${proposed.says}`] : []),
    'Comes off in this order:',
    ...strip.map(
      (step, at) =>
        `  ${at + 1}. ${step.item} ${step.description} - ${step.why}${step.note === null ? '' : `. ${step.note}`}`,
    ),
    `Goes back: ${rebuild.map((step) => step.item).join(', ')}`,
    'Also needed:',
    ...also,
    ...(tests.length > 0 ? ['Tests before release:', ...tests.map((test) => `  ${test}`)] : []),
    'The maker’s manual and local rules come first; brakes, steering and lifting gear are work for qualified people.',
  ].join('\n')
}
