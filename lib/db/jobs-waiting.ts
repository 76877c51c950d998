import { supersessionResolve } from '../catalogue/supersession.ts'
import { database } from './client.ts'
import { supersessionLinks } from './part.ts'

/** The open jobs that wait for each of the parts beyond what the shelf keeps for them, or for one that it replaces. */
export async function jobsWaiting(partIds: readonly number[]): Promise<Map<number, { id: number; number: number }[]>> {
  const db = database()
  const links = await supersessionLinks(db, partIds)
  const wanted = new Map<number, number[]>()
  for (const id of new Set([...partIds, ...links.map((link) => link.oldPartId)])) {
    // An order placed before its part was replaced still brings what the job asks for.
    for (const brings of supersessionResolve(id, links).chain)
      if (partIds.includes(brings)) wanted.set(id, [...(wanted.get(id) ?? []), brings])
  }
  const needs = await db.jobNeed.findMany({
    where: { partId: { in: [...wanted.keys()] }, state: 'accepted', job: { state: 'open' } },
    select: { partId: true, wanted: true, taken: true, allocated: true, job: { select: { id: true, number: true } } },
    orderBy: { jobId: 'asc' },
  })
  const waiting = new Map<number, { id: number; number: number }[]>()
  for (const need of needs.filter((one) => one.wanted - one.taken > one.allocated))
    for (const partId of wanted.get(need.partId!) ?? []) {
      const jobs = waiting.get(partId) ?? []
      if (!jobs.some((job) => job.id === need.job.id)) waiting.set(partId, [...jobs, need.job])
    }
  return waiting
}
