/* What the machine can do: the indirect method (Colleau 2002; Sargolzaei, Iwaisaki & Colleau 2005)
 * in plain C on one thread, for birds whose parents are certain or unknown. The benchmark compiles
 * it with portable flags and compares every other way with it.
 *
 *   indirect TASK REPEATS INPUT OUTPUT
 *
 * INPUT: int32 n, r, c; sire[n]; dam[n]; rows[r]; columns[c]; then float64 F[n] unless TASK is
 * "inbreeding" or "drop". OUTPUT: float64 results. Prints the least processor seconds of
 * all repeats, the peak of memory and what the work added to it in MB.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define BLOCK 16

typedef double Row[BLOCK];

static void *room(size_t count, size_t size)
{
    void *got = calloc(count ? count : 1, size);
    if (!got) {
        fputs("out of memory\n", stderr);
        exit(2);
    }
    return got;
}

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return now.tv_sec + now.tv_nsec * 1e-9;
}

/* the other way to ask for it counts what the parent process held */
static double peak_mb(void)
{
    char line[256];
    long peak = 0;
    FILE *status = fopen("/proc/self/status", "r");
    while (status && fgets(line, sizeof line, status))
        sscanf(line, "VmHWM: %ld kB", &peak);
    if (status)
        fclose(status);
    return peak / 1024.0;
}

/* what chance adds to a bird beyond its parents */
static double sampling_variance(int32_t sire, int32_t dam, const double *F)
{
    return 1 - (sire < 0 ? 0 : (1 + F[sire]) / 4) - (dam < 0 ? 0 : (1 + F[dam]) / 4);
}

/* Pass the columns from the offspring up to their ancestors: rows top..0 of a block. */
static void gather(Row *columns, uint8_t *touched, int32_t top, const int32_t *sire, const int32_t *dam)
{
    for (int32_t i = top; i >= 0; i--) {
        if (!touched[i])
            continue;
        const int32_t parents[2] = {sire[i], dam[i]};
        for (int side = 0; side < 2; side++) {
            int32_t parent = parents[side];
            if (parent < 0)
                continue;
            touched[parent] = 1;
            for (int k = 0; k < BLOCK; k++)
                columns[parent][k] += columns[i][k] / 2;
        }
    }
}

/* Pass the columns, times the variances, down again: rows 0..reach of a block. */
static void spread(Row *columns, int32_t reach, const int32_t *sire, const int32_t *dam, const double *D)
{
    static const Row nothing;
    for (int32_t i = 0; i <= reach; i++) {
        const double *s = sire[i] < 0 ? nothing : columns[sire[i]];
        const double *d = dam[i] < 0 ? nothing : columns[dam[i]];
        double *own = columns[i];
        Row sum;
        for (int k = 0; k < BLOCK; k++)
            sum[k] = own[k] * D[i] + (s[k] + d[k]) / 2;
        for (int k = 0; k < BLOCK; k++)
            own[k] = sum[k];
    }
}

static void clear(Row *columns, uint8_t *touched, int32_t count)
{
    memset(columns, 0, sizeof(Row) * count);
    memset(touched, 0, count);
}

/* The parents alone, in their old order: how many, and the place of each bird (-1 if no parent). */
static int32_t parents_only(int32_t n, const int32_t *sire, const int32_t *dam, int32_t *place, int32_t *rows)
{
    memset(place, 0, sizeof(int32_t) * n);
    for (int32_t i = 0; i < n; i++) {
        if (sire[i] >= 0)
            place[sire[i]] = 1;
        if (dam[i] >= 0)
            place[dam[i]] = 1;
    }
    int32_t count = 0;
    for (int32_t i = 0; i < n; i++) {
        if (place[i])
            rows[count] = i;
        place[i] = place[i] ? count++ : -1;
    }
    return count;
}

static void inbreeding(int32_t n, const int32_t *sire, const int32_t *dam, double *F)
{
    int32_t *place = room(n, sizeof *place), *rows = room(n, sizeof *rows);
    int32_t P = parents_only(n, sire, dam, place, rows);
    int32_t *s = room(P, sizeof *s), *d = room(P, sizeof *d), *level = room(P, sizeof *level);
    int32_t levels = 0;
    for (int32_t i = 0; i < P; i++) {
        s[i] = sire[rows[i]] < 0 ? -1 : place[sire[rows[i]]];
        d[i] = dam[rows[i]] < 0 ? -1 : place[dam[rows[i]]];
        if (s[i] >= 0 && level[s[i]] >= level[i])
            level[i] = level[s[i]] + 1;
        if (d[i] >= 0 && level[d[i]] >= level[i])
            level[i] = level[d[i]] + 1;
        if (level[i] >= levels)
            levels = level[i] + 1;
    }

    /* the birds of each sire, then his distinct mates */
    int32_t *start = room(P + 1, sizeof *start), *chicks = room(n, sizeof *chicks);
    for (int32_t i = 0; i < n; i++)
        if (sire[i] >= 0 && dam[i] >= 0)
            start[place[sire[i]] + 1]++;
    for (int32_t i = 0; i < P; i++)
        start[i + 1] += start[i];
    int32_t *next = room(P, sizeof *next);
    memcpy(next, start, sizeof *next * P);
    for (int32_t i = 0; i < n; i++)
        if (sire[i] >= 0 && dam[i] >= 0)
            chicks[next[place[sire[i]]]++] = i;
    int32_t *couple = room(n, sizeof *couple), *mate = room(n, sizeof *mate);
    int32_t *first = room(P + 1, sizeof *first), *seen = room(P, sizeof *seen), *seen_as = room(P, sizeof *seen_as);
    int32_t couples = 0;
    memset(couple, -1, sizeof *couple * n);
    for (int32_t cock = 0; cock < P; cock++) {
        first[cock] = couples;
        for (int32_t at = start[cock]; at < start[cock + 1]; at++) {
            int32_t hen = place[dam[chicks[at]]];
            if (seen[hen] != cock + 1) {
                seen[hen] = cock + 1;
                seen_as[hen] = couples;
                mate[couples++] = hen;
            }
            couple[chicks[at]] = seen_as[hen];
        }
    }
    first[P] = couples;

    /* the parents by level */
    int32_t *end = room(levels + 1, sizeof *end), *by_level = room(P, sizeof *by_level);
    for (int32_t i = 0; i < P; i++)
        end[level[i] + 1]++;
    for (int32_t l = 0; l < levels; l++)
        end[l + 1] += end[l];
    int32_t *at = room(levels + 1, sizeof *at);
    memcpy(at, end, sizeof *at * levels);
    for (int32_t i = 0; i < P; i++)
        by_level[at[level[i]]++] = i;

    double *related = room(couples, sizeof *related), *D = room(P, sizeof *D), *own = room(P, sizeof *own);
    Row *columns = room(P, sizeof(Row));
    uint8_t *touched = room(P, 1);
    for (int32_t l = 0; l < levels; l++) {
        for (int32_t k = end[l]; k < end[l + 1]; k++) {
            int32_t i = by_level[k], of = couple[rows[i]];
            own[i] = of < 0 ? 0 : related[of] / 2;
            D[i] = sampling_variance(s[i], d[i], own);
        }
        for (int32_t k = end[l]; k < end[l + 1];) {
            int32_t block[BLOCK], width = 0, reach = 0, top = 0;
            for (; k < end[l + 1] && width < BLOCK; k++) {
                int32_t cock = by_level[k];
                if (first[cock] == first[cock + 1])
                    continue;
                block[width++] = cock;
                top = cock > top ? cock : top;
                for (int32_t c = first[cock]; c < first[cock + 1]; c++)
                    reach = mate[c] > reach ? mate[c] : reach;
            }
            if (!width)
                continue;
            clear(columns, touched, (top > reach ? top : reach) + 1);
            for (int32_t b = 0; b < width; b++) {
                columns[block[b]][b] = 1;
                touched[block[b]] = 1;
            }
            gather(columns, touched, top, s, d);
            spread(columns, reach, s, d, D);
            for (int32_t b = 0; b < width; b++)
                for (int32_t c = first[block[b]]; c < first[block[b] + 1]; c++)
                    related[c] = columns[mate[c]][b];
        }
    }
    for (int32_t i = 0; i < n; i++)
        F[i] = couple[i] < 0 ? 0 : related[couple[i]] / 2;

    void *all[] = {place, rows, s,   d,  level,    start,   chicks, next, couple, mate,    first,
                   seen,  seen_as, end, at, by_level, related, D,      own,  columns, touched};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        free(all[i]);
}

/* Kinship of rows with columns (r x c) on their ancestors only. */
static void kinship(int32_t n, const int32_t *sire, const int32_t *dam, const double *F, int32_t r,
                    const int32_t *rows, int32_t c, const int32_t *columns_asked, double *f)
{
    uint8_t *behind = room(n, 1);
    for (int32_t i = 0; i < r; i++)
        behind[rows[i]] = 1;
    for (int32_t i = 0; i < c; i++)
        behind[columns_asked[i]] = 1;
    int32_t *place = room(n, sizeof *place), P = 0;
    for (int32_t i = n - 1; i >= 0; i--) {
        if (!behind[i])
            continue;
        P++;
        if (sire[i] >= 0)
            behind[sire[i]] = 1;
        if (dam[i] >= 0)
            behind[dam[i]] = 1;
    }
    int32_t *s = room(P, sizeof *s), *d = room(P, sizeof *d), count = 0;
    double *D = room(P, sizeof *D);
    for (int32_t i = 0; i < n; i++) {
        if (!behind[i])
            continue;
        s[count] = sire[i] < 0 ? -1 : place[sire[i]];
        d[count] = dam[i] < 0 ? -1 : place[dam[i]];
        D[count] = sampling_variance(sire[i], dam[i], F);
        place[i] = count++;
    }
    Row *columns = room(P, sizeof(Row));
    uint8_t *touched = room(P, 1);
    for (int32_t begin = 0; begin < c; begin += BLOCK) {
        int32_t width = c - begin < BLOCK ? c - begin : BLOCK;
        clear(columns, touched, P);
        for (int32_t b = 0; b < width; b++) {
            int32_t at = place[columns_asked[begin + b]];
            columns[at][b] = 1;
            touched[at] = 1;
        }
        gather(columns, touched, P - 1, s, d);
        spread(columns, P - 1, s, d, D);
        for (int32_t i = 0; i < r; i++)
            for (int32_t b = 0; b < width; b++)
                f[(size_t)i * c + begin + b] = columns[place[rows[i]]][b] / 2;
    }
    void *all[] = {behind, place, s, d, D, columns, touched};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        free(all[i]);
}

/* Mean kinship of every bird with the rows. */
static void mean_kinship(int32_t n, const int32_t *sire, const int32_t *dam, const double *F, int32_t r,
                         const int32_t *rows, double *f)
{
    memset(f, 0, sizeof *f * n);
    for (int32_t i = 0; i < r; i++)
        f[rows[i]] += 1.0 / r;
    for (int32_t i = n - 1; i >= 0; i--) {
        if (sire[i] >= 0)
            f[sire[i]] += f[i] / 2;
        if (dam[i] >= 0)
            f[dam[i]] += f[i] / 2;
    }
    for (int32_t i = 0; i < n; i++)
        f[i] = f[i] * sampling_variance(sire[i], dam[i], F) + (sire[i] < 0 ? 0 : f[sire[i]] / 2) +
               (dam[i] < 0 ? 0 : f[dam[i]] / 2);
    for (int32_t i = 0; i < n; i++)
        f[i] /= 2;
}

/* 10,000 gene drops onto the rows: the share of drops that kept a gene of each founder. */
static void gene_drops(int32_t n, const int32_t *sire, const int32_t *dam, int32_t r, const int32_t *rows,
                       double *kept)
{
    enum { DROPS = 10000, CHUNK = 256 };
    typedef uint16_t Line[CHUNK];
    uint8_t *behind = room(n, 1);
    for (int32_t i = 0; i < r; i++)
        behind[rows[i]] = 1;
    int32_t founders = 0;
    for (int32_t i = n - 1; i >= 0; i--) {
        founders += sire[i] < 0 && dam[i] < 0;
        if (!behind[i])
            continue;
        if (sire[i] >= 0)
            behind[sire[i]] = 1;
        if (dam[i] >= 0)
            behind[dam[i]] = 1;
    }
    Line *genes = room(2 * (size_t)n, sizeof(Line)), *counts = room(2 * (size_t)founders, sizeof(Line));
    uint64_t state = 88172645463325252ull;
    double *alike = room(CHUNK, sizeof *alike);
    for (int32_t done = 0; done < DROPS; done += CHUNK) {
        int32_t width = DROPS - done < CHUNK ? DROPS - done : CHUNK, founder = 0;
        for (int32_t i = 0; i < n; i++) {
            int first = sire[i] < 0 && dam[i] < 0;
            if (behind[i] && first && !done)
                for (int side = 0; side < 2; side++)
                    for (int k = 0; k < CHUNK; k++)
                        genes[2 * i + side][k] = 2 * founder + side;
            founder += first;
            if (!behind[i] || first)
                continue;
            const int32_t parents[2] = {sire[i], dam[i]};
            for (int side = 0; side < 2; side++) {
                const uint16_t *one = genes[2 * parents[side]], *other = genes[2 * parents[side] + 1];
                uint16_t *own = genes[2 * i + side];
                for (int k = 0; k < CHUNK; k += 64) {
                    state ^= state << 13;
                    state ^= state >> 7;
                    state ^= state << 17;
                    for (int bit = 0; bit < 64; bit++) {
                        uint16_t mask = -(uint16_t)(state >> bit & 1);
                        own[k + bit] = (one[k + bit] & mask) | (other[k + bit] & ~mask);
                    }
                }
            }
        }
        memset(counts, 0, sizeof(Line) * 2 * founders);
        for (int32_t i = 0; i < r; i++)
            for (int side = 0; side < 2; side++)
                for (int k = 0; k < width; k++)
                    counts[genes[2 * rows[i] + side][k]][k]++;
        for (int32_t f = 0; f < founders; f++)
            for (int k = 0; k < width; k++) {
                double a = counts[2 * f][k], b = counts[2 * f + 1][k];
                kept[f] += (a > 0) | (b > 0);
                alike[k] += a * a + b * b;
            }
    }
    for (int32_t f = 0; f < founders; f++)
        kept[f] /= DROPS;
    free(behind);
    free(genes);
    free(counts);
    free(alike);
}

static void *read_array(FILE *file, size_t count, size_t size)
{
    void *into = room(count, size);
    if (fread(into, size, count, file) != count) {
        fputs("the input is too short\n", stderr);
        exit(2);
    }
    return into;
}

int main(int argc, char **argv)
{
    if (argc != 5) {
        fputs("indirect TASK REPEATS INPUT OUTPUT\n", stderr);
        return 2;
    }
    const char *task = argv[1];
    FILE *file = fopen(argv[3], "rb");
    if (!file) {
        perror(argv[3]);
        return 2;
    }
    int32_t *sizes = read_array(file, 3, sizeof *sizes), n = sizes[0], r = sizes[1], c = sizes[2];
    int32_t *sire = read_array(file, n, sizeof *sire), *dam = read_array(file, n, sizeof *dam);
    int32_t *rows = read_array(file, r, sizeof *rows), *columns = read_array(file, c, sizeof *columns);
    int find_F = !strcmp(task, "inbreeding"), drop = !strcmp(task, "drop");
    double *F = find_F || drop ? NULL : read_array(file, n, sizeof *F);
    fclose(file);

    size_t results = !strcmp(task, "kinship") ? (size_t)r * c : (size_t)n;
    if (drop) {
        results = 0;
        for (int32_t i = 0; i < n; i++)
            results += sire[i] < 0 && dam[i] < 0;
    }
    double *found = NULL, least = 1e9, before = peak_mb();
    for (int repeat = atoi(argv[2]); repeat > 0; repeat--) {
        free(found);
        double begun = seconds();
        found = room(results, sizeof *found);
        if (find_F)
            inbreeding(n, sire, dam, found);
        else if (!strcmp(task, "kinship"))
            kinship(n, sire, dam, F, r, rows, c, columns, found);
        else if (drop)
            gene_drops(n, sire, dam, r, rows, found);
        else
            mean_kinship(n, sire, dam, F, r, rows, found);
        double taken = seconds() - begun;
        least = taken < least ? taken : least;
    }
    printf("%.6f %.1f %.1f\n", least, peak_mb(), peak_mb() - before);
    file = fopen(argv[4], "wb");
    if (!file || fwrite(found, sizeof *found, results, file) != results || fclose(file)) {
        perror(argv[4]);
        return 2;
    }
    return 0;
}
