-- SPDX-License-Identifier: Apache-2.0
-- Counts are few among very many events; the list of them is read from here.
CREATE INDEX event_counted ON event (number) WHERE kind = 'counted';
