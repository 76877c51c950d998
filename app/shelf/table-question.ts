import { type TableQuestion, TableQuestionRead } from '@/lib/stock/table.ts'

/** The stock table as its address asks for it; a field left empty by its form is a question not asked. */
export function tableQuestion(asked: Record<string, unknown>): TableQuestion {
  const { q, store, state, sort, cols } = asked
  return TableQuestionRead.parse({
    search: q ?? '',
    storeId: store || null,
    state: state || 'all',
    sort: sort || 'number',
    columns: cols ?? '',
  })
}

export function tableAddress(question: TableQuestion, usual: readonly string[]) {
  return {
    q: question.search || undefined,
    store: question.storeId ?? undefined,
    state: question.state === 'all' ? undefined : question.state,
    sort: question.sort === 'number' ? undefined : question.sort,
    cols: question.columns.join() === usual.join() ? undefined : question.columns.join(),
  }
}
