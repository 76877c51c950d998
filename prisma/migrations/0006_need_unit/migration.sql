-- AlterTable
ALTER TABLE "JobNeed" ADD COLUMN "unit" TEXT;
