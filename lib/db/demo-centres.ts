import { MANAGER } from '../../seed/estate/people.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { database } from './client.ts'
import { centreBudgetSet, costCentreMachines, costCentreSave } from './cost-centre.ts'
import type { WriteContext } from './transaction.ts'

/** Cost centres of the estate with their machines by fleet number, and what each may spend in a winter, minor units. */
const CENTRES = [
  { code: '410', name: 'Home orchard', fleet: ['T-01', 'M-01', 'S-01'], budgetMinor: 45_000 },
  { code: '420', name: 'River orchard', fleet: ['T-02', 'M-02', 'S-02', 'P-01'], budgetMinor: 60_000 },
  {
    code: '430',
    name: 'Harvest and yard',
    fleet: ['T-03', 'T-04', 'H-01', 'W-01', 'W-02', 'W-03'],
    budgetMinor: 25_000,
  },
] as const

/** The cost centres of the demo, with budgets for all its winter plans. The shredder, which all orchards use, has none. */
export async function costCentresMake(now: Date): Promise<void> {
  let step = 0
  const context = (): WriteContext => {
    step += 1
    return { key: `demo-cost-centre-${step}`, personId: MANAGER, now }
  }
  const plans = await database().winterPlan.findMany({ select: { id: true }, orderBy: { id: 'asc' } })
  for (const { code, name, fleet, budgetMinor } of CENTRES) {
    const { centreId } = await costCentreSave(context(), { code, name })
    const machines = await database().machine.findMany({
      where: { fleetKey: { in: fleet.map(partNumberKey) } },
      select: { id: true },
      orderBy: { id: 'asc' },
    })
    await costCentreMachines(context(), { centreId, machineIds: machines.map(({ id }) => id) })
    for (const { id } of plans) await centreBudgetSet(context(), { planId: id, centreId, budget: budgetMinor })
  }
}
