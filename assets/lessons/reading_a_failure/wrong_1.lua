return routine {
  title = "a sled home, past the post",
  side = "chalk",
  start = {x = 600, y = 1300, heading = 180},
  auto = function(bot)
    -- 1. past the post
    bot.drive:visit(1250, 1255, {reverse = true, speed = 1000})
    -- 2. straight before the sled
    bot.drive:visit(1707, 1200, {reverse = true, speed = 1000})
    bot.drive:face(210)
    bot.drive:ahead(-470, {speed = 200})
    -- 3. take it
    bot.clamp:shut()
    wait(0.6)                                -- more time for the jaws
    -- 4. home
    bot.drive:visit(400, 400)
  end,
}
