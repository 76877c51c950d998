import type { Run } from '@/lib/db/exchange-run.ts'

/** How a file stands, by shape and by word. */
export function runStanding({ state }: Pick<Run, 'state'>): string {
  switch (state.step) {
    case 'coming':
      return '○ not looked at yet'
    case 'looking':
    case 'rehearsing':
    case 'importing':
      return '◧ being worked on'
    case 'looked':
      return state.refusal ? '▲ refused, nothing imported' : '○ columns to be matched'
    case 'rehearsed':
      return (state.rehearsed?.refusedRows ?? 0) > 0 ? '▲ rows to be mended' : '○ ready to bring in'
    case 'imported':
      return '■ brought in'
    case 'stopped':
      return '✕ refused, nothing imported'
  }
}
