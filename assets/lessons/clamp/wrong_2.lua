return routine {
  title = "a sled home",
  side = "chalk",
  start = {x = 600, y = 1300, heading = 180},
  auto = function(bot)
    bot.drive:visit(1707, 1200, {reverse = true, speed = 1000})
    bot.drive:face(210)                      -- its back looks straight at the sled
    bot.drive:ahead(-330, {speed = 400})
    bot.clamp:shut()
    wait(0.2)                                -- the piston needs its time
    if not bot.clamp:holding() then note("no sled in the clamp") end
    bot.drive:visit(400, 400)
  end,
}
