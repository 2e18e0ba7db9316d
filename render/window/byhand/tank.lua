-- Drives a robot whose own routine has no driver function: a stick for each side.
local wait = wait -- whatever the robot's own routine calls so

return routine {
  title = "driven by hand (tank)",
  driver = function(bot, pad)
    while true do
      bot.drive:tank(pad.left_y, pad.right_y)
      wait(0.01)
    end
  end,
}
