import type { z } from 'zod'
import { inputRefusal } from '../../app/_server/answer.ts'
import { formObject, formRead } from '../../app/_server/form-data.ts'

/** What a form's fields are read as, the way an action reads them. */
export function formAsRead<S extends z.ZodType>(schema: S, fields: [string, string][]): z.output<S> {
  const data = new FormData()
  for (const [name, value] of fields) data.append(name, value)
  const answer = formRead(schema, formObject(data))
  if (!answer.success) throw inputRefusal(answer.issues)
  return answer.data
}
