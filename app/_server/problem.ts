import type { Refusal } from '@/lib/refusal.ts'

interface Problem {
  type: string
  title: string
  status: number
  detail: string
  next: string
  fields?: Record<string, string>
  faults?: readonly string[]
}

function problemResponse(problem: Problem): Response {
  return new Response(JSON.stringify(problem), {
    status: problem.status,
    headers: { 'content-type': 'application/problem+json; charset=utf-8', 'cache-control': 'no-store' },
  })
}

/** A refusal as problem details (RFC 9457). The title is the same for every refusal of a code, the detail speaks of this one. */
export function problem(refusal: Refusal): Response {
  const { code, status, happened, next, fields, faults } = refusal
  return problemResponse({
    type: `urn:cotterbook:refusal:${code}`,
    title: code.replace('/', ': ').replaceAll('-', ' '),
    status,
    detail: happened,
    next,
    ...(Object.keys(fields).length > 0 ? { fields } : {}),
    ...(faults.length > 0 ? { faults } : {}),
  })
}

/** A fault of the program: the reference number leads to the log, nothing else is told. */
export function problemOfFault(reference: string): Response {
  return problemResponse({
    type: 'urn:cotterbook:fault',
    title: 'fault of the program',
    status: 500,
    detail: `Something went wrong in the program. Reference ${reference}.`,
    next: 'Send it again with the same key; what was done already is not done twice.',
  })
}

/** A request that may write and was not sent by one of our own pages. */
export function problemOfOrigin(fault: string): Response {
  return problemResponse({
    type: 'urn:cotterbook:refusal:request/foreign-origin',
    title: 'request: foreign origin',
    status: 403,
    detail: `The request was refused: ${fault}.`,
    next: 'Nothing was changed. Open the page of this site again and send it from there.',
  })
}
