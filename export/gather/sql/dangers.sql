-- What was found over the whole line by rule and month, dangers first.
-- What later entries showed to stand no more is not counted. follow: of the findings,
-- those that follow from another entry, so that one slip does not look like ten.
SELECT severity, rule, CAST(date_trunc('month', day) AS DATE) AS month,
       count(*) AS found,
       sum(CASE WHEN explained_by IS NULL THEN 1 ELSE 0 END) AS unexplained,
       sum(CASE WHEN root IS NULL THEN 0 ELSE 1 END) AS follow,
       count(DISTINCT box) AS boxes
FROM findings
WHERE answered IS NULL
GROUP BY severity, rule, month
ORDER BY severity = 'danger' DESC, severity = 'irregular' DESC, rule, month
