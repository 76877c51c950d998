/** What the server begins with, beside answering: the daily check of the books (lib/db/check-run.ts). */
export async function register(): Promise<void> {
  if (process.env.NEXT_RUNTIME !== 'nodejs') return
  const { checkSchedule } = await import('./lib/db/check-run.ts')
  checkSchedule(() => new Date())
}
