import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { routeBody } from '@/app/_server/route-body.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '@/lib/db/stock.ts'
import type { WriteContext } from '@/lib/db/transaction.ts'
import { type Right, rightRequire } from '@/lib/people/role.ts'
import { CountInput, IssueInput, MovementInput, ReceiveInput, ReverseInput, TransferInput } from '@/lib/stock/schema.ts'

const RIGHTS: Record<MovementInput['kind'], Right> = {
  receive: 'stock.receive',
  issue: 'stock.issue',
  'count-difference': 'stock.count',
  transfer: 'stock.transfer',
  reversal: 'stock.reverse',
}

function enter(context: WriteContext, input: MovementInput): Promise<unknown> {
  // The ledger's verbs keep what they were sent as the content of the key; `kind` is theirs to say.
  switch (input.kind) {
    case 'receive':
      return stockReceive(context, ReceiveInput.parse(input))
    case 'issue':
      return stockIssue(context, IssueInput.parse(input))
    case 'count-difference':
      return stockCount(context, CountInput.parse(input))
    case 'transfer':
      return stockTransfer(context, TransferInput.parse(input))
    case 'reversal':
      return stockReverse(context, ReverseInput.parse(input))
  }
}

/**
 * Enters one movement into the ledger under the key of the Idempotency-Key header: `MovementInput` in, 201 and what was
 * written out. The same key and body again answer the same and write nothing.
 */
export function POST(request: Request): Promise<Response> {
  return routeAnswer('enter a movement', async () => {
    const { person, context } = await routeGuard(request, null)
    const input = await routeBody(request, MovementInput)
    rightRequire(person.roles, RIGHTS[input.kind])
    return Response.json(await enter(context, input), { status: 201, headers: { 'cache-control': 'no-store' } })
  })
}
