-- How often each person broke each rule, for a thousand trains of his. Findings that
-- follow from another are not counted.
WITH worked AS (
  SELECT person, count(*) AS trains FROM trains GROUP BY person
), broken AS (
  SELECT person, rule, severity, count(*) AS found, sum(CASE WHEN explained_by IS NULL THEN 1 ELSE 0 END) AS unexplained
  FROM findings
  WHERE answered IS NULL AND root IS NULL
  GROUP BY person, rule, severity
)
SELECT b.person AS person, b.rule AS rule, b.severity AS severity, b.found AS found, b.unexplained AS unexplained,
       floor(1000.0 * b.found / w.trains * 10 + 0.5) / 10 AS per_thousand_trains
FROM broken AS b
JOIN worked AS w ON w.person = b.person
ORDER BY per_thousand_trains DESC, person, rule
