-- AlterTable
ALTER TABLE "Job" ADD COLUMN "notFitted" TEXT;
