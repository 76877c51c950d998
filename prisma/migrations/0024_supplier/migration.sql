-- AlterTable
ALTER TABLE "Supplier" ADD COLUMN "customerNumber" TEXT;
ALTER TABLE "Supplier" ADD COLUMN "email" TEXT;
ALTER TABLE "Supplier" ADD COLUMN "note" TEXT;
ALTER TABLE "Supplier" ADD COLUMN "orderDays" TEXT;
