Console.WriteLine("custody-verify");
