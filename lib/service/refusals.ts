/** The rows of services in the table of refusals (lib/refusal-table.ts): status, what happened, what to do next. */
export const SERVICE_REFUSALS = {
  'service/no-such': [404, 'There is no such service any more.', 'Reload the page: somebody took it off the schedule.'],
  'service/name-taken': [
    409,
    'This model has a service called {name} already.',
    'Change that one, or use another name.',
  ],
  'service/at-work': [
    409,
    'Job {job} of this machine carries out {names} already.',
    'Nothing was opened. Go on with job {job}, or untick it.',
  ],
  'service/not-joined': [
    409,
    'Job {job} cannot be put into the service: {why}.',
    'Nothing was opened. Untick it and close it by itself.',
  ],
  'service/tasks-open': [
    409,
    'The service has {count} left to look at or to do: {lines}',
    'Say of each whether it is good, renewed or done under “Service”, then close the job.',
  ],
  'service/no-reading': [
    422,
    'The hour meter of this machine was never read, and {names} counts from it.',
    'Enter the reading beside the correction, then close the job.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
