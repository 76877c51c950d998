-- AlterTable
ALTER TABLE "HourReading" ADD COLUMN "jobId" INTEGER;
ALTER TABLE "HourReading" ADD COLUMN "reason" TEXT;
