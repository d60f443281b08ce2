"""What is usual of a shop, as data: of each sort of machine, and of the tools that measure.

    from shopboard.usual import lookup, tools, build

    lookup.KINDS                     the sorts of machine, in the order in which they are asked for
    lookup.machine("table saw")      UsualMachine: kind, id, name; points, tasks, cutters, each with
                                     id, name, common (ticked by default) and what the file says
        .point("blade")              UsualPoint: checks, rests_on, tolerances.furniture, sets (what
                                     may set it, by kind of adjuster), table(unit, fineness)
    tools.tools("mm")                UsualTool of each sort: sizes, promises (with prove_first),
                                     table(unit, size, promise)
    build.build(build.NewShop(...))  the data of a shop file, from NewMachine, NewPoint, NewTask,
                                     NewCutter and NewTool; all that was not chosen by default

What such data becomes as a file is told by `writing/new_file.py` (`text(data)`), and put in its
place by `writing/saving.py` (`create`; `save` where a file is there). Which points its tools can
prove, what would help, and what to check first, is told by `prep/first_look.py` (`usual_unproven`,
`unproven`, `helping`, `first_checks`).
"""
