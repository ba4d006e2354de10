-- Boxes whose books were not examined, those with most days first. days: register days
-- with entries after the last signature of somebody who examined the book.
SELECT b.railway AS railway, b.box AS box, b.last_examined AS last_examined, b.examined_by AS examined_by,
       count(DISTINCT e.day) AS days, count(*) AS entries, max(e.day) AS last_day
FROM boxes AS b
JOIN entries AS e ON e.railway = b.railway AND e.box = b.box
WHERE e.entry > b.examined_to
GROUP BY b.railway, b.box, b.last_examined, b.examined_by
ORDER BY days DESC, railway, box
