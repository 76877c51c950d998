/** What the server begins with, beside answering: the daily check of the books, the nightly reckoning of levels, and copies of winter plans. */
export async function register(): Promise<void> {
  if (process.env.NEXT_RUNTIME !== 'nodejs') return
  const { checkSchedule } = await import('./lib/db/check-run.ts')
  checkSchedule(() => new Date())
  const { levelRunSchedule } = await import('./lib/db/level-run-start.ts')
  levelRunSchedule(() => new Date())
  const { winterCopySchedule } = await import('./lib/db/winter-copy.ts')
  winterCopySchedule(() => new Date())
}
