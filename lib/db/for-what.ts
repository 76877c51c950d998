import { database } from './client.ts'

/** Cost centres that are offered beside those that are kept: the ones named most lately. */
const CENTRES_MAX = 50

/** Machines, people and cost centres that parts can be taken for. */
export async function forWhatChoices() {
  const db = database()
  const [machines, people, centres, kept] = await Promise.all([
    db.machine.findMany({ select: { id: true, fleetNumber: true, name: true }, orderBy: { fleetKey: 'asc' } }),
    db.person.findMany({ where: { active: true }, select: { id: true, name: true }, orderBy: { nameKey: 'asc' } }),
    db.movement.groupBy({
      by: ['costCentre'],
      where: { costCentre: { not: null } },
      _max: { id: true },
      orderBy: { _max: { id: 'desc' } },
      take: CENTRES_MAX,
    }),
    db.costCentre.findMany({ where: { closedAt: null }, select: { code: true }, orderBy: { codeKey: 'asc' } }),
  ])
  return {
    machines: machines.map(({ id, fleetNumber, name }) => ({ id, says: `${fleetNumber} ${name}` })),
    people,
    centres: [...new Set([...kept.map(({ code }) => code), ...centres.flatMap(({ costCentre }) => costCentre ?? [])])],
  }
}
