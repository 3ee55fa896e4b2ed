"""The register of published sources. Workings, checks and docs refer to an id; only this table says what it is.

`confirmed` says how the values we took from the source were seen: "yes" in a public copy, "memory" recalled
and recomputed but not seen again, "practice" for common practice without a source, "own" for arithmetic
that follows from definitions.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.errors import SourceMissingError

Confirmed = Literal["yes", "memory", "practice", "own"]


@dataclass(frozen=True, slots=True)
class Source:
    """One published source."""

    id: str
    citation: str
    where: str = ""
    confirmed: Confirmed = "yes"

    def text(self) -> str:
        """One line for a page."""
        note = {"yes": "", "memory": " (values from memory, recomputed)", "practice": "", "own": ""}[self.confirmed]
        return f"{self.citation}{', ' + self.where if self.where else ''}{note}"


_TABLE: Final = (
    # lifting and walking
    Source(
        "niosh_94_110",
        "Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting "
        "Equation, DHHS (NIOSH) Publication 94-110, 1994, revised 2021",
        "section 1.1, tables 1 to 7",
    ),
    Source(
        "waters_1993",
        "Waters, Putz-Anderson, Garg, Fine: Revised NIOSH equation for the design and evaluation "
        "of manual lifting tasks, Ergonomics 36 (1993) 749-776",
    ),
    Source(
        "ilo_work_study",
        "Kanawaty (ed.): Introduction to Work Study, 4th ed., International Labour Office, 1992",
        "time study; work sampling; walking pace at rating 100",
    ),
    Source("barnes", "Barnes: Motion and Time Study, 7th ed., 1980", "normal walking pace 3 mph", "memory"),
    Source(
        "maynard_1948",
        "Maynard, Stegemerten, Schwab: Methods-Time Measurement, 1948",
        "walking, 5.3 TMU a foot, 17 TMU a pace where obstructed",
        "memory",
    ),
    Source("weidmann_1993", "Weidmann: Transporttechnik der Fussgaenger, ETH Zurich, 1993", "free walking speed"),
    # time study
    Source("niebel", "Niebel, Freivalds: Methods, Standards, and Work Design, 13th ed., 2014", "number of cycles"),
    Source("stevenson", "Stevenson: Operations Management, 14th ed., 2021", "chapter 7, work measurement"),
    Source("heizer", "Heizer, Render: Operations Management, 11th ed., 2014", "work measurement"),
    Source(
        "russell",
        "Russell, Taylor: Operations Management, 5th ed., 2006",
        "supplement to chapter 8",
        "memory",
    ),
    Source(
        "wright_1936",
        "Wright: Factors affecting the cost of airplanes, J. Aeronautical Sciences 3 (1936) 122-128",
    ),
    Source(
        "crawford",
        "Crawford: Learning curve, ship curve, ratios, related data (unit curve), about 1944",
        "",
        "memory",
    ),
    # statistics
    Source("nist_handbook", "NIST/SEMATECH e-Handbook of Statistical Methods, 2003, updated 2012"),
    Source("nist_strd", "NIST Statistical Reference Datasets (StRD), 1998-2003"),
    Source(
        "welch_1947",
        "Welch: The generalization of Student's problem when several different population variances "
        "are involved, Biometrika 34 (1947) 28-35",
    ),
    Source(
        "mann_whitney_1947",
        "Mann, Whitney: On a test of whether one of two random variables is stochastically "
        "larger than the other, Annals of Mathematical Statistics 18 (1947) 50-60",
    ),
    Source(
        "wilcoxon_1945",
        "Wilcoxon: Individual comparisons by ranking methods, Biometrics Bulletin 1 (1945) 80-83",
    ),
    Source(
        "hodges_lehmann_1963",
        "Hodges, Lehmann: Estimates of location based on rank tests, Annals of Mathematical "
        "Statistics 34 (1963) 598-611",
    ),
    Source(
        "przyborowski_1940",
        "Przyborowski, Wilenski: Homogeneity of results in testing samples from Poisson "
        "series, Biometrika 31 (1940) 313-323",
    ),
    Source("garwood_1936", "Garwood: Fiducial limits for the Poisson distribution, Biometrika 28 (1936) 437-442"),
    Source(
        "clopper_pearson_1934",
        "Clopper, Pearson: The use of confidence or fiducial limits illustrated in the case "
        "of the binomial, Biometrika 26 (1934) 404-413",
    ),
    Source(
        "wilson_1927",
        "Wilson: Probable inference, the law of succession, and statistical inference, Journal of the "
        "American Statistical Association 22 (1927) 209-212",
    ),
    Source(
        "newcombe_1998",
        "Newcombe: Interval estimation for the difference between independent proportions, "
        "Statistics in Medicine 17 (1998) 873-890",
        "method 10",
    ),
    Source(
        "walter_1975",
        "Walter: The distribution of Levin's measure of attributable risk, Biometrika 62 (1975) 371-374",
        "logarithm of a ratio of proportions, half a case added",
        "memory",
    ),
    Source(
        "gu_2008",
        "Gu, Ng, Tang, Schucany: Testing the ratio of two Poisson rates, Biometrical Journal 50 (2008) 283-298",
        "square-root test",
    ),
    Source(
        "fleiss",
        "Fleiss, Levin, Paik: Statistical Methods for Rates and Proportions, 3rd ed., 2003",
        "chapter 4, sample size for two proportions",
        "memory",
    ),
    Source("fisher_exact", "Fisher: Statistical Methods for Research Workers, 5th ed., 1934", "section 21.02"),
    Source("kendall_1945", "Mann: Nonparametric tests against trend, Econometrica 13 (1945) 245-259"),
    Source(
        "sen_1968",
        "Sen: Estimates of the regression coefficient based on Kendall's tau, Journal of the American "
        "Statistical Association 63 (1968) 1379-1389",
    ),
    Source(
        "robbins_1970",
        "Robbins: Statistical methods related to the law of the iterated logarithm, Annals of "
        "Mathematical Statistics 41 (1970) 1397-1409",
    ),
    Source(
        "robbins_siegmund_1970",
        "Robbins, Siegmund: Boundary crossing probabilities for the Wiener process and sample sums, Annals of "
        "Mathematical Statistics 41 (1970) 1410-1429",
        "boundary from a first look on, without end",
        "memory",
    ),
    Source(
        "miller_siegmund_1982",
        "Miller, Siegmund: Maximally selected chi square statistics, Biometrics 38 (1982) 1011-1016",
        "one boundary between two amounts of information",
        "memory",
    ),
    Source(
        "jennison_turnbull_1989",
        "Jennison, Turnbull: Interim analyses: the repeated confidence interval approach, Journal of the Royal "
        "Statistical Society B 51 (1989) 305-361",
        "",
        "memory",
    ),
    Source(
        "waudby_smith_2024",
        "Waudby-Smith, Arbour, Sinha, Kennedy, Ramdas: Time-uniform central limit theory and "
        "asymptotic confidence sequences, Annals of Statistics 52 (2024) 2613-2640",
    ),
    Source(
        "cochran_1954",
        "Cochran: Some methods for strengthening the common chi-squared tests, Biometrics 10 (1954) 417-451",
        "",
        "memory",
    ),
    Source(
        "tukey_1977",
        "Tukey: Exploratory Data Analysis, 1977",
        "fences at 1.5 and 3 interquartile ranges",
        "memory",
    ),
    # control charts
    Source("shewhart", "Shewhart: Economic Control of Quality of Manufactured Product, 1931", "", "memory"),
    Source("western_electric_1956", "Western Electric: Statistical Quality Control Handbook, 1956"),
    Source(
        "nelson_1984",
        "Nelson: The Shewhart control chart - tests for special causes, Journal of Quality Technology "
        "16 (1984) 237-239",
        "",
        "memory",
    ),
    Source("montgomery", "Montgomery: Introduction to Statistical Quality Control, 6th ed.", "", "memory"),
    # money
    Source("engineering_economy", "Standard compound-interest formulas (engineering economy)", "P/A, A/P", "own"),
    Source("gitman", "Gitman: Principles of Managerial Finance, Brief 3rd ed., 2003", "NPV and IRR, p. 346-348"),
    Source(
        "collins_akritas_1976",
        "Collins, Akritas: Polynomial real root isolation using Descartes' rule of signs, Proceedings of the 1976 "
        "ACM Symposium on Symbolic and Algebraic Computation, 272-275",
        "",
        "memory",
    ),
    Source(
        "pert_1959",
        "Malcolm, Roseboom, Clark, Fazar: Application of a technique for research and development "
        "program evaluation, Operations Research 7 (1959) 646-669",
        "three-point estimate",
    ),
    Source(
        "goodman_1960",
        "Goodman: On the exact variance of products, Journal of the American Statistical Association "
        "55 (1960) 708-713",
    ),
    Source(
        "bls_ecec",
        "US Bureau of Labor Statistics: Employer Costs for Employee Compensation",
        "total over wages",
    ),
    # queues, stock, choosing
    Source(
        "erlang",
        "Erlang: Solution of some problems in the theory of probabilities, 1917",
        "delay formula",
        "memory",
    ),
    Source(
        "little_1961",
        "Little: A proof for the queuing formula L = lambda W, Operations Research 9 (1961) 383-387",
    ),
    Source(
        "hillier_lieberman",
        "Hillier, Lieberman: Introduction to Operations Research, 8th ed.",
        "queueing theory, M/M/s and finite calling population",
        "memory",
    ),
    Source(
        "harris_1913",
        "Harris: How many parts to make at once, Factory 10 (1913) 135-136, 152",
        "economic lot",
    ),
    Source("knapsack", "Martello, Toth: Knapsack Problems, 1990", "0-1 knapsack", "memory"),
    # metal and frames
    Source(
        "aisc_shapes",
        "AISC Shapes Database v15.0 (Steel Construction Manual, 15th ed., 2017)",
        "hollow sections, pipe, angles",
    ),
    Source(
        "aisc_360",
        "ANSI/AISC 360-16, Specification for Structural Steel Buildings",
        "chapters B, D to H for members; numbers seen in reproductions and in AISC's design examples",
    ),
    Source(
        "aisc_360_recalled",
        "ANSI/AISC 360-16, Specification for Structural Steel Buildings",
        "F7-6, F7-11, E7.1 for legs of angles, slender walls in torsion, H3.3",
        "memory",
    ),
    Source(
        "aisc_360_j2",
        "ANSI/AISC 360-05 to 360-22, Specification for Structural Steel Buildings",
        "J2.4 strength and direction factor of fillets, J2.2b and Table J2.4 sizes",
    ),
    Source(
        "aisc_360_j",
        "ANSI/AISC 360-16 and 360-22, Specification for Structural Steel Buildings",
        "J3 bolts, J4.2 base metal in shear, J2.4 no direction factor at ends of rectangular hollow sections",
        "memory",
    ),
    Source(
        "aisc_360_k",
        "ANSI/AISC 360-16, Specification for Structural Steel Buildings, chapter K",
        "K2 plates, K3 axial force, K4 moments, K5 effective weld; plates on flat faces: K1 of 360-10",
        "memory",
    ),
    Source(
        "cidect_3",
        "Packer and others: CIDECT Design Guide 3, rectangular hollow section joints, 2nd ed., 2009",
        "round branch on a flat face: pi / 4",
        "memory",
    ),
    Source("aws_d1_1", "AWS D1.1 Structural Welding Code - Steel", "least leg on a thinner wall", "memory"),
    Source("blodgett", "Blodgett: Design of Welded Structures, 1966", "welds treated as a line", "memory"),
    Source(
        "bolt_tables",
        "SAE J429 and ISO 898-1: proof and tensile loads of bolts",
        "two reproductions agree",
    ),
    Source(
        "shigley_bolts",
        "Budynas, Nisbett: Shigley's Mechanical Engineering Design, 9th to 11th ed.",
        "chapter 8: preload 75 and 90 % of proof, T = K F d",
        "memory",
    ),
    Source("asme_b36_10", "ASME B36.10M: Welded and Seamless Wrought Steel Pipe", "outside diameters and walls"),
    Source(
        "gauges",
        "Manufacturers' Standard Gauge, galvanized and stainless sheet gauges, Brown and Sharpe, Birmingham Wire "
        "Gauge",
        "three independent reproductions agree",
    ),
    Source("roark", "Young, Budynas: Roark's Formulas for Stress and Strain", "torsion of a rectangle", "memory"),
    Source(
        "mcguire",
        "McGuire, Gallagher, Ziemian: Matrix Structural Analysis, 2nd ed., 2000",
        "space frames, releases, semi-rigid ends (eq. 13.31)",
    ),
    Source(
        "monforton_wu_1963",
        "Monforton, Wu: Matrix analysis of semi-rigidly connected frames, ASCE J. Structural Division 89 (1963) "
        "13-42",
        "fixity factor",
    ),
    Source(
        "timoshenko_gere",
        "Timoshenko, Gere: Theory of Elastic Stability, 2nd ed., 1961",
        "beam-columns, portal buckling",
        "memory",
    ),
    Source(
        "wittrick_williams_1971",
        "Wittrick, Williams: A general algorithm for computing natural frequencies of elastic structures, "
        "Quarterly Journal of Mechanics and Applied Mathematics 24 (1971) 263-284",
        "counting critical loads",
        "memory",
    ),
    # springs, wheels, tipping
    Source(
        "shigley",
        "Budynas, Nisbett: Shigley's Mechanical Engineering Design, 9th to 11th ed.",
        "chapter 10: rate, stress factors, ends, wire strength, moduli, yield, 2.63 D/alpha",
    ),
    Source(
        "shigley_recalled",
        "Budynas, Nisbett: Shigley's Mechanical Engineering Design, 9th to 11th ed.",
        "chapter 10: critical deflection, end factors, set removal, fatigue lines, natural frequency",
        "memory",
    ),
    Source("norton", "Norton: Machine Design, 3rd to 5th ed.", "strength constants of spring wire", "memory"),
    Source("fe_handbook", "NCEES FE Reference Handbook", "strength constants of spring wire, older set"),
    Source(
        "zimmerli",
        "Zimmerli's endurance limits of spring wire, in Shigley's Mechanical Engineering Design",
        "eq. 10-28, 10-29: infinite life, wire below 10 mm",
    ),
    Source(
        "wire_gauges",
        "Music wire gauge and steel wire gauge, Machinery's Handbook; preferred sizes of wire",
    ),
    Source(
        "halliday",
        "Halliday, Resnick, Walker: Fundamentals of Physics",
        "chapter 12: wheel drawn over a step",
    ),
    Source("caster_guides", "Guides and answers of caster makers", "total by three; factor by duty"),
    Source("rolling_drive", "Drive-engineering guide, lever arms of rolling friction", "two reproductions agree"),
    Source("rolling_machine_shop", "Machine-shop reference page, lever arms of rolling friction"),
    Source(
        "lippert_spektor_2012",
        "Lippert, Spektor: Rolling Resistance and Industrial Wheels, 2012",
        "lever arms on a hard smooth floor; starting 2 to 2.5 times rolling",
        "memory",
    ),
    Source("floor_friction", "Engineering table of friction, rubber on concrete", "dry 0.6-0.85, wet 0.45-0.75"),
    Source("floor_friction_recalled", "Friction of wheel treads on concrete", "for screening only", "memory"),
    Source(
        "osha_1910",
        "29 CFR 1910, Occupational Safety and Health Standards",
        "1910.37 exits kept clear; 1910.303(g)(1) 3 ft in front of electrical equipment",
        "memory",
    ),
    Source("iec_62368_1", "IEC 62368-1, clause 8.6", "10 degree tilt, 20 % or 250 N at up to 1.5 m"),
    Source(
        "dinkelbach_1967",
        "Dinkelbach: On nonlinear fractional programming, Management Science 13 (1967) 492-498",
        "",
        "memory",
    ),
    Source(
        "state_fund_carts",
        "Carts: Push/Pull Guidelines, Safe at Work California (State Fund), undated",
        "start 50 lbf, roll 40 lbf, emergency stop 80 lbf within 3 ft",
    ),
    # people pushing and reaching
    Source(
        "potvin_2021",
        "Potvin, Ciriello, Snook, Maynard, Brogmus: The LM-MMH equations, Ergonomics, 2021, "
        "doi 10.1080/00140139.2021.1891297",
        "coefficients from public transcriptions",
    ),
    Source(
        "potvin_2021_ranges",
        "Potvin, Ciriello, Snook, Maynard, Brogmus: The LM-MMH equations, Ergonomics, 2021",
        "ranges of the inputs",
        "memory",
    ),
    Source(
        "snook_ciriello_1991",
        "Snook, Ciriello: The design of manual handling tasks: revised tables, Ergonomics 34 (1991) 1197-1213",
        "a recalled part, for plausibility alone",
        "memory",
    ),
    Source("hse_indg143", "HSE: Manual handling at work, INDG143, and the push/pull assessment pages", "filters"),
    Source(
        "kodak_ccohs",
        "Kodak: Ergonomic Design for People at Work, 1986 and 2004, as reproduced by CCOHS",
        "horizontal push and pull",
    ),
    Source(
        "ansur_ii",
        "Gordon et al.: 2012 Anthropometric Survey of US Army Personnel, NATICK/TR-15/007, 2014",
        "percentiles computed from the public data; 25 mm added for shoes",
    ),
    Source("niosh_97_117", "NIOSH: Elements of Ergonomics Programs, Publication 97-117, 1997", "work zones"),
    # other
    Source("ansi_z535", "ANSI Z535.4: Product safety signs and labels", "signal words", "memory"),
    Source("practice", "common practice, no source", "", "practice"),
    Source("definition", "follows from the definition", "", "own"),
)

SOURCES: Final = {source.id: source for source in _TABLE}


def source(id_: str) -> Source:
    """The source with this id.

    Raises:
        SourceMissingError: when the register does not hold it.
    """
    try:
        return SOURCES[id_]
    except KeyError:
        raise SourceMissingError(f"the register of sources has no '{id_}'") from None
