import type { z } from 'zod'
import { Refusal } from '@/lib/refusal.ts'
import { inputRefusal } from './answer.ts'

const BYTES_MAX = 64 * 1024

/**
 * The JSON body of a request, checked. Read to the end and no further than 64 kB.
 * @throws Refusal input/invalid: not JSON, too long, or with the fields that are wrong.
 */
export async function routeBody<S extends z.ZodType>(request: Request, schema: S): Promise<z.output<S>> {
  const text = await bodyText(request)
  let body: unknown
  try {
    body = JSON.parse(text)
  } catch {
    throw new Refusal('input/invalid', { what: 'the body of the request is not JSON' })
  }
  const read = schema.safeParse(body)
  if (!read.success) throw inputRefusal(read.error.issues)
  return read.data
}

async function bodyText(request: Request): Promise<string> {
  if (!request.body) return ''
  const pieces: Uint8Array[] = []
  let length = 0
  const reader = request.body.getReader()
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return Buffer.concat(pieces).toString('utf8')
    length += value.byteLength
    if (length > BYTES_MAX) {
      await reader.cancel()
      throw new Refusal('input/invalid', { what: 'the body of the request is longer than 64 kB' })
    }
    pieces.push(value)
  }
}
