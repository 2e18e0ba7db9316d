-- Backs up to the box and lets the core out, unless the driver takes over.
local function unload(bot)
  local way = bot.drive:visit(1330, 1200, {reverse = true, speed = 700})
  if not way.ok then return end
  bot.conveyor:run(6)
  wait(1)
  bot.conveyor:stop()
end

return routine {
  title = "one button for the box",
  start = {x = 1500, y = 1200, heading = 0},
  auto = function() end,
  driver = function(bot, pad)
    pad:bind("a", unload(bot))
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
