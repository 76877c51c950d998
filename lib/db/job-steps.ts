import { measuredAnew, measureRead } from '../job/measurement.ts'
import type { JobPlan } from '../job/plan.ts'
import { stepIsShared, stepKeyBare, stepKeyRead, stepKeySay } from '../job/step-key.ts'
import type { Tx } from './client.ts'

interface StepWanted {
  kind: string
  sort: number
  key: string
  text: string
  measure: string | null
}

type CheckRow = Awaited<ReturnType<Tx['jobCheck']['findMany']>>[number]

function stepsOf(plan: JobPlan): StepWanted[] {
  const kinds = { strip: plan.strip, rebuild: plan.rebuild, test: plan.tests, 'after-run': plan.afterRun }
  return Object.entries(kinds).flatMap(([kind, steps]) =>
    steps.map((step, sort) => {
      const measure = 'measure' in step && step.measure ? JSON.stringify(step.measure) : null
      return { kind, sort, key: step.key, text: step.text, measure }
    }),
  )
}

/**
 * The step that a tick from before somebody named the end of the shaft belongs to: the one that is left of it. With both ends in
 * hand nobody knows which of them was done.
 */
function atOneEnd(check: CheckRow, steps: readonly StepWanted[]): StepWanted[] {
  const heirs = steps.filter((step) => {
    const at = step.kind === check.kind ? stepKeyRead(step.key) : null
    return at !== null && at.end !== null && stepKeySay({ ...at, end: null }) === check.key
  })
  return heirs.length === 1 ? heirs : []
}

/**
 * Steps were once ticked for all sides at a time. Such a tick goes to each side that its words name, and its photos to the first
 * of them; then the step itself is no longer needed.
 */
async function ticksHandedOn(tx: Tx, check: CheckRow, steps: readonly StepWanted[]): Promise<void> {
  const named = /\(([^()]*)\)/.exec(check.text)?.[1]?.split(', ') ?? []
  const ofSides = steps.filter((step) => {
    const side = stepKeyRead(step.key)?.side
    return step.kind === check.kind && side && stepKeyBare(step.key) === check.key && named.includes(side)
  })
  const heirs = ofSides.length > 0 ? ofSides : atOneEnd(check, steps)
  if (heirs.length === 0) return
  const { state, note, doneAt, doneById } = check
  for (const { kind, key } of heirs)
    await tx.jobCheck.updateMany({
      where: { jobId: check.jobId, kind, key, state: 'open' },
      data: { state, note, doneAt, doneById },
    })
  await tx.jobPhoto.updateMany({
    where: { jobId: check.jobId, stage: check.kind, stepKey: check.key },
    data: { stepKey: heirs[0]!.key },
  })
  await tx.jobCheck.delete({ where: { id: check.id } })
}

/**
 * Brings the steps and tests of a job into line with its plan. What was ticked stays ticked, in the words it was ticked with
 * where the plan has it no more; what is open and no longer asked for goes. A measured value is held against changed limits.
 */
export async function stepsPlace(tx: Tx, jobId: number, plan: JobPlan): Promise<void> {
  const steps = stepsOf(plan)
  const wanted = new Set(steps.map((step) => `${step.kind} ${step.key}`))
  const checks = await tx.jobCheck.findMany({ where: { jobId } })
  const before = new Map(checks.map((check) => [`${check.kind} ${check.key}`, check]))
  for (const step of steps) {
    const check = before.get(`${step.kind} ${step.key}`)
    const { text, sort, measure } = step
    if (check) {
      const anew = measuredAnew(check, measureRead(check.measure), measureRead(measure))
      // Ticked for the left wheel it says nothing of the right one that came on later.
      const isOpened = stepIsShared(step.key) && check.state === 'done' && check.text !== text
      const opened = isOpened ? { state: 'open', doneAt: null, doneById: null } : {}
      await tx.jobCheck.update({ where: { id: check.id }, data: { text, sort, measure, ...anew, ...opened } })
    } else await tx.jobCheck.create({ data: { jobId, ...step } })
  }
  for (const check of checks) {
    if (wanted.has(`${check.kind} ${check.key}`)) continue
    if (check.state === 'open') await tx.jobCheck.delete({ where: { id: check.id } })
    else await ticksHandedOn(tx, check, steps)
  }
}
