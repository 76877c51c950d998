'use client'

import { createContext, use, useId } from 'react'
import type { ActionRefused } from './answer.ts'

interface FormState {
  refused: ActionRefused | null
  isPending: boolean
}

/** What the fields and buttons inside a form need to know about its last answer. */
export const FormStateContext = createContext<FormState>({ refused: null, isPending: false })

export function useFormState(): FormState {
  return use(FormStateContext)
}

export interface FieldState {
  id: string
  /** What is wrong with this field. */
  fault: string | undefined
  /** What was typed before the refusal. */
  typed: string | string[] | undefined
}

export function useFieldState(name: string): FieldState {
  const { refused } = useFormState()
  return { id: useId(), fault: refused?.fields[name], typed: refused?.values[name] }
}
