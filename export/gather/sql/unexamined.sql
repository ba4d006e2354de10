-- Boxes with register days that nobody examined, those with most days first. A signature
-- covers the days that it names (examined 2026-05-01 to 2026-05-31), else those since the
-- one before it, as far as they were written by then. entries: those on such days that
-- no signature covers; last_examined: the day of the last signature of any kind.
WITH signatures AS (
  SELECT railway, box, examined_head, examined_from, examined_to
  FROM entries
  WHERE examined_from IS NOT NULL
), seen AS (
  SELECT d.railway AS railway, d.box AS box, d.day AS day, max(s.examined_head) AS up_to
  FROM (SELECT DISTINCT railway, box, day FROM entries) AS d
  JOIN signatures AS s ON s.railway = d.railway AND s.box = d.box
  WHERE s.examined_from <= d.day AND d.day <= s.examined_to
  GROUP BY d.railway, d.box, d.day
)
SELECT b.railway AS railway, b.box AS box, b.last_examined AS last_examined, b.examined_by AS examined_by,
       count(DISTINCT e.day) AS days, count(*) AS entries, max(e.day) AS last_day
FROM entries AS e
JOIN boxes AS b ON b.railway = e.railway AND b.box = e.box
LEFT JOIN seen AS s ON s.railway = e.railway AND s.box = e.box AND s.day = e.day
WHERE e.entry > coalesce(s.up_to, 0)
GROUP BY b.railway, b.box, b.last_examined, b.examined_by
ORDER BY days DESC, railway, box
