return routine {
  title = "a sled home, past the post",
  side = "chalk",
  start = {x = 600, y = 1300, heading = 180},
  auto = function(bot)
    -- 1. past the post
    bot.drive:visit(1250, 1255, {reverse = true, speed = 300})
    -- 2. straight before the sled
    bot.drive:visit(1707, 1200, {reverse = true, speed = 1000})
    bot.drive:face(210)
    bot.drive:ahead(-450, {speed = 400})
    -- 3. take it
    bot.clamp:shut()
    wait(0.2)
    -- 4. home
    bot.drive:visit(400, 400)
  end,
}
