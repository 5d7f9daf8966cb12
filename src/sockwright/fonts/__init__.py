"""The typefaces that sheets and pages are set in, with their licences.

Atkinson Hyperlegible Next holds its subsets latin and latin-ext without the marks that combine with
letters, so that a letter it lacks is taken whole from Noto Sans and not put together. Noto Sans has
the common letters too, since in drawings a text is set in one face alone: its subsets vietnamese,
cyrillic, cyrillic-ext, greek, greek-ext and latin, and the letters of latin-ext up to U+02AF and
from 1E00 to 1EFF. They are the subsets that Fontsource publishes
(both 5.3.0), weights 400 and 700, merged in this order with fontTools; Noto Sans without hints and
glyph names.
"""
