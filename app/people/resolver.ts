import type { FieldErrors, FieldValues, Resolver } from 'react-hook-form'
import type { z } from 'zod'

/** Checks a flat form in the browser with the schema the server uses; the server reads what was typed, not what this answers. */
export function schemaResolver<V extends FieldValues>(schema: z.ZodType): Resolver<V> {
  return (values) => {
    const read = schema.safeParse(values)
    if (read.success) return { values, errors: {} }
    const errors: Record<string, { type: string; message: string }> = {}
    for (const issue of read.error.issues)
      errors[String(issue.path[0] ?? 'root')] ??= { type: issue.code ?? 'custom', message: issue.message }
    return { values: {}, errors: errors as FieldErrors<V> }
  }
}
