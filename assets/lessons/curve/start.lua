return routine {
  title = "round two posts",
  start = {x = 500, y = 900, heading = 0},
  auto = function(bot)
    for _, stop in ipairs({{1400, 450}, {2200, 1850}, {3100, 1800}}) do
      bot.drive:face(stop)
      bot.drive:visit(stop, {speed = 1000})
    end
  end,
}
