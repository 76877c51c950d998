/** Refusals of the work on a job; rows of the one table in refusal-table.ts. */
export const JOB_REFUSALS = {
  'job/no-such': [404, 'There is no job {job}.', 'Go back to the list of jobs.'],
  'job/closed': [
    409,
    'Job {job} is closed and stands in the service book.',
    'Write a correction in the service book instead.',
  ],
  'job/undecided': [409, 'A must and not decided yet: {lines}.', 'Accept, change or decline each one, then go on.'],
  'job/tests-open': [
    409,
    'Tests before release that are not done: {count}.',
    'Do them, or write why one does not apply.',
  ],
  'job/no-correction': [422, 'The job has no correction text.', 'Write what was done, in a sentence.'],
  'job/not-fitted': [
    422,
    'Accepted as a must and not, or not all, fitted: {lines}.',
    'Take and fit them, or say why the job is done without them.',
  ],
  'job/not-measured': [422, '“{typed}” is no measured value.', 'Type the number alone, in {unit}: 4.2.'],
  'job/out-of-limits': [
    422,
    '{what}: {value} {unit} is outside {limits}.',
    'Set it right and measure again, or say why the machine may go to work so. The maker’s manual rules.',
  ],
  'job/not-signed': [
    422,
    '{machine} is marked unsafe: its release to work is signed.',
    'Type your PIN or password again to release it, or keep the job open.',
  ],
  'job/words-changed': [
    409,
    '{who} changed the words of this job since you opened it.',
    'Nothing was lost: what you typed stands in the fields, the other text under each. Put them together, or choose one, and send again.',
  ],
  'job/taken-meanwhile': [
    409,
    '{who} took or put back {what} for this job since you opened the list.',
    'Nothing was taken twice. Show the list as it is now, and take what is still on it.',
  ],
  'photo/wrong-type': [
    415,
    '{name} is no photo that can be kept: it is {found}.',
    'Nothing was kept. Take or save it as JPEG, PNG or WebP; a telephone that saves HEIC can be set to JPEG.',
  ],
  'photo/too-many': [409, 'The job has {limit} photos already.', 'Take off what is not needed, then add this one.'],
  'job/not-declined': [422, 'A must is only declined with a reason.', 'Say in a few words why it is left out.'],
  'job/taken-of-it': [
    409,
    'Some of {part}, or of what stands in for it, is taken from the shelf for this job.',
    'Put it back on the pick list first, then take it off the job.',
  ],
  'job/ordered-for-it': [
    409,
    '{part} is on order {order} since this job asked for it.',
    'Have the line of that order cancelled first. Or leave it here: the job can be closed without it, and what comes stays on the shelf.',
  ],
  'job/asked-by-service': [
    409,
    'A service of this job asks for {part}.',
    'Where a look said that it is renewed, change that answer. Else leave it: what is not taken does not count as fitted.',
  ],
  'job/unknown-need': [404, 'That line is not on this job.', 'Reload the job.'],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
