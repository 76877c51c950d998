import { notFound } from 'next/navigation'
import { queryId } from '@/app/_parts/query.ts'
import { type WinterStanding, winterStanding } from '@/lib/db/winter-run.ts'
import { isRefusal } from '@/lib/refusal.ts'

/** The plan of an address with its answer; one that is not there is not found. */
export async function planOfAddress(text: string): Promise<WinterStanding> {
  const planId = queryId(text)
  if (planId === null) notFound()
  try {
    return await winterStanding(planId, new Date())
  } catch (error) {
    if (isRefusal(error) && error.code === 'winter/no-such') notFound()
    throw error
  }
}
