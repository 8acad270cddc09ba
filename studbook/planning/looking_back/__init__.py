"""What a plan of pens foresaw beside what came of it: chicks by pen, their F, who lived and who was kept."""
