"""Which tasks stand beside laying, as a rule? A list to choose from, written as in a scenario, with the origin of each value."""

from __future__ import annotations

CATALOGUE = """\
# Tasks beside laying, to be copied into a scenario one by one. Areas and numbers of pieces are an example: write your own.
# "Planning value" means that no source stands behind a number: put in its place what your own records say.
# Handling, drilling, fuel and aircraft gear: technical manuals, local rules and licensed practice come first; here stand times.

[[task]]
name = "edge anchors"                   # edge clamps, stakes and earth anchors once the mats lie: service news 2014
after = [{ area = "runway" }]
people = 8                              # planning value
team = 2                                # planning value
pieces = 200                            # both long sides, one every 18 ft of 1,800 ft: planning value
each = { p10 = "6 min", p90 = "18 min", scatter = 0.4 }  # planning value

[[task]]
name = "marking"                        # lines and numbers painted on the mats: common practice
after = [{ area = "runway" }]
people = 4                              # planning value
team = 4                                # planning value
each = { p10 = "6 h", p90 = "14 h" }    # planning value; rain and wind stop it as they stop laying

[[task]]
name = "lighting"                       # portable lights and their cable: common practice
after = [{ task = "edge anchors" }]
people = 4                              # planning value
team = 2                                # planning value
pieces = 60                             # planning value
each = { p10 = "10 min", p90 = "30 min", scatter = 0.3 }  # planning value

[[task]]
name = "tie-downs"                      # beside those of stands, which an area holds itself: common practice
after = [{ area = "runway" }]
people = 4                              # planning value
team = 2                                # planning value
pieces = 24                             # planning value
each = { p10 = "8 min", p90 = "20 min", scatter = 0.3 }  # planning value: as those of stands

[[task]]
name = "recovery gear survey"           # anchors are surveyed into place: service news 2012
people = 3                              # planning value
team = 3                                # planning value
each = { p10 = "3 h", p90 = "8 h" }     # planning value
stops = "none"                          # planning value: it goes on in rain

[[task]]
name = "recovery gear"                  # two sides, more than 50 anchors each: service news 2012
after = [{ task = "recovery gear survey" }]
people = 11                             # service news 2012
team = 2                                # planning value
pieces = 104                            # 52 a side: service news 2012 says more than 50
each = { p10 = "95 min", p90 = "255 min", scatter = 0.3 }  # planning value, set so that four days by eleven people (service news
                                        # 2012), and the week that is usual, lie within P10 to P90; hard ground (coral: service
                                        # news 2013) lies at its upper end. To work it takes four people, about two minutes to
                                        # reset (service news 2008)

[[task]]
name = "launch gear"                    # along a guide rail: common practice
after = [{ area = "runway" }]
people = 10                             # planning value
team = 5                                # planning value
pieces = 40                             # planning value
each = { p10 = "30 min", p90 = "80 min", scatter = 0.3 }  # planning value

[[task]]
name = "fuel"                           # bladders, berms, pumps and hoses, as plain hours: common practice
people = 8                              # planning value
team = 8                                # planning value
each = { p10 = "20 h", p90 = "50 h" }   # planning value
stops = "grading"                       # planning value: berms are earth

[[task]]
name = "shelters"                       # planning value
people = 6                              # planning value
team = 6                                # planning value
pieces = 4                              # planning value
each = { p10 = "3 h", p90 = "8 h" }     # planning value

[[task]]
name = "last sweep"                     # one for several milestones, beside their own closing work: common practice
after = [{ task = "edge anchors" }, { task = "marking" }, { task = "lighting" }]
people = 12                             # planning value
team = 12                               # planning value
each = { p10 = "1 h", p90 = "3 h" }     # planning value
"""
