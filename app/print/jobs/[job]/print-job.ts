import { redirect } from 'next/navigation'
import { found } from '@/app/_parts/found.ts'
import { type JobView, jobView } from '@/lib/db/job-read.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { dateSays } from '@/lib/measure/date.ts'

/** The job for a sheet; one that was put into a service is printed with that. */
export async function printJob(jobId: number, address: (id: number) => string): Promise<JobView> {
  const job = await found(jobView(jobId))
  if (job.joinedToId !== null) redirect(address(job.joinedToId))
  return job
}

export function jobFoot({ machine, number }: JobView): string {
  return `${machine.fleetNumber} ${machine.name}, job ${number}`
}

/** Which machine and which job, at the head of its sheets. */
export function jobFacts(job: JobView): (readonly [string, string])[] {
  const { machine } = job
  return [
    ['Machine', `${machine.fleetNumber} ${machine.name}`],
    ['Model', machine.model],
    ['S/N', machine.serialNumber ?? 'not on file'],
    ['Hours', hoursFormat(job.hourTenths ?? machine.hourTenths)],
    ['Opened', `${dateSays(job.openedAt)} by ${job.openedBy}`],
    ...(job.closedAt ? [['Closed', dateSays(job.closedAt)] as const] : []),
  ]
}
