-- What was found at each box, by rule.
SELECT railway, box, severity, rule,
       count(*) AS found,
       sum(CASE WHEN explained_by IS NULL THEN 1 ELSE 0 END) AS unexplained,
       sum(CASE WHEN root IS NULL THEN 0 ELSE 1 END) AS follow
FROM findings
WHERE answered IS NULL
GROUP BY railway, box, severity, rule
ORDER BY railway, box, severity = 'danger' DESC, severity = 'irregular' DESC, rule
